import type { EndStageOptions } from "./types.ts";

const INSTRUCTIONS =
  "Arrow keys move the cursor, with Shift in long steps, with Alt by one pixel of the photograph. " +
  "Space places a point, Enter ends a shape, Backspace takes the last point back, Escape discards. " +
  "With a mark selected, arrow keys move it; comma and full stop step through its points. " +
  "Plus and minus zoom, zero shows the whole photograph.";

/** Attributes the stage sets and puts back when it goes. */
const ATTRIBUTES = ["role", "tabindex", "aria-label", "aria-describedby"] as const;
const STYLES = ["position", "touch-action", "user-select", "outline", "cursor"] as const;

/** Counts stages so that each has its own element for its instructions. */
const nextId = (() => {
  let n = 0;
  return () => `end-stage-${++n}`;
})();

/** The element a stage lives in: its accessible name, size and device pixels, all put back on `destroy`. */
export class StageBox {
  readonly #before: ReadonlyMap<string, string | null>;
  readonly #stylesBefore: ReadonlyMap<string, string>;
  readonly #instructions: HTMLParagraphElement;
  readonly #observer: ResizeObserver;
  readonly #ended = new AbortController();
  readonly #fixedRatio: number | null;

  constructor(
    readonly container: HTMLDivElement,
    options: EndStageOptions,
    readonly onResize: () => void,
  ) {
    this.#before = new Map(ATTRIBUTES.map((name) => [name, container.getAttribute(name)]));
    this.#stylesBefore = new Map(STYLES.map((name) => [name, container.style.getPropertyValue(name)]));
    this.#fixedRatio = options.pixelRatio ?? null;
    this.#instructions = document.createElement("p");
    this.#instructions.id = nextId();
    this.#instructions.textContent = options.instructions ?? INSTRUCTIONS;
    this.#instructions.style.cssText =
      "position:absolute;width:1px;height:1px;margin:-1px;overflow:hidden;clip-path:inset(50%);white-space:nowrap";
    container.append(this.#instructions);
    container.setAttribute("role", "application");
    container.setAttribute("tabindex", "0");
    container.setAttribute("aria-describedby", this.#instructions.id);
    this.setLabel(options.label);
    if (getComputedStyle(container).position === "static") container.style.position = "relative";
    container.style.touchAction = "none";
    container.style.userSelect = "none";
    // The stage draws its own ring inside, where no neighbour can cover it.
    container.style.outline = "none";
    this.setPointerLook("grab");
    this.#observer = new ResizeObserver(() => onResize());
    this.#observer.observe(container);
    this.#followPixelRatio();
  }

  get widthPx(): number {
    return this.container.clientWidth;
  }

  get heightPx(): number {
    return this.container.clientHeight;
  }

  get pixelRatio(): number {
    return this.#fixedRatio ?? window.devicePixelRatio;
  }

  get hasVisibleFocus(): boolean {
    return this.container.matches(":focus-visible");
  }

  setLabel(label: string): void {
    this.container.setAttribute("aria-label", label);
  }

  setPointerLook(look: "grab" | "pointer" | "crosshair"): void {
    if (this.container.style.cursor !== look) this.container.style.cursor = look;
  }

  destroy(): void {
    this.#observer.disconnect();
    this.#ended.abort();
    this.#instructions.remove();
    for (const [name, value] of this.#before) {
      if (value === null) this.container.removeAttribute(name);
      else this.container.setAttribute(name, value);
    }
    for (const [name, value] of this.#stylesBefore) this.container.style.setProperty(name, value);
  }

  /** A window dragged to another screen changes its device pixels without changing its size. */
  #followPixelRatio(): void {
    if (this.#fixedRatio !== null || this.#ended.signal.aborted) return;
    matchMedia(`(resolution: ${window.devicePixelRatio}dppx)`).addEventListener(
      "change",
      () => {
        this.onResize();
        this.#followPixelRatio();
      },
      { once: true, signal: this.#ended.signal },
    );
  }
}
