import { tick } from "svelte";
import type { Log } from "./log.svelte.ts";
import { HEAD_PX, ROW_PX, scrollTo, windowOf } from "./window.ts";

/** What of the list is in view, and where its focus is. */
export class GridView {
  scrollTop = $state(0);
  /** Height of the list with its head, px. */
  height = $state(0);
  readonly #log: Log;
  #box: HTMLElement | null = null;

  constructor(log: Log) {
    this.#log = log;
  }

  /** Never more than a screen of rows, even where a page lets the list grow to its full height. */
  readonly #window = $derived.by(() =>
    windowOf(this.scrollTop, Math.min(this.height, screen.height) - HEAD_PX, this.#log.shown.length),
  );

  /** Indices of the rows to draw. The active row stays in the page even when scrolled away, so that it keeps the focus. */
  readonly drawn = $derived.by(() => {
    const { first, last } = this.#window;
    const list = Array.from({ length: last - first }, (_, i) => first + i);
    const active = this.#log.activeIndex;
    return active >= 0 && (active < first || active >= last) ? [...list, active] : list;
  });

  /** Rows a page key moves by. */
  get page(): number {
    return Math.max(1, Math.floor((this.height - HEAD_PX) / ROW_PX) - 1);
  }

  /** Binds the list in the page; the place it was scrolled to outlives it. */
  readonly attach = (box: HTMLElement): (() => void) => {
    this.#box = box;
    box.scrollTop = this.#log.scrollTop;
    this.scrollTop = box.scrollTop;
    return () => {
      this.#log.scrollTop = this.scrollTop;
      this.#box = null;
    };
  };

  holdsFocus(): boolean {
    return this.#box?.contains(document.activeElement) ?? false;
  }

  /** Brings the active row into view; the focus follows unless it is elsewhere on the screen. */
  async showActive(): Promise<void> {
    const box = this.#box;
    if (box === null || this.#log.activeIndex < 0) return;
    box.scrollTop = scrollTo(this.#log.activeIndex, box.scrollTop, this.height - HEAD_PX);
    this.scrollTop = box.scrollTop;
    if (document.activeElement === document.body || this.holdsFocus()) await this.focusActive();
  }

  async focusActive(): Promise<void> {
    await tick();
    this.#box?.querySelector<HTMLElement>('[role="row"][tabindex="0"]')?.focus({ preventScroll: true });
  }
}
