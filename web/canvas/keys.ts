import type { StepUnit } from "./types.ts";

/** What keys ask of the stage. A returned false means "not mine": the key goes on to the screen. */
export interface KeyTarget {
  arrow(dx: number, dy: number, unit: StepUnit): void;
  /** An arrow key was let go, or the focus left: ends a movement that keys began. */
  arrowsReleased(): void;
  place(): void;
  /** Enter: ends the shape when it can be ended, else places. */
  enter(): void;
  takeBack(): boolean;
  escape(): boolean;
  stepHandle(direction: 1 | -1): boolean;
  zoomStep(direction: 1 | -1): void;
  fit(): void;
  panKey(isHeld: boolean): void;
  /** True when the held pan key was used to pan, so that letting it go places nothing. */
  readonly panKeyUsed: boolean;
  focusChanged(): void;
}

const STEP_PX = 10;
const LONG_STEP_PX = 50;

const ARROWS: Readonly<Record<string, readonly [number, number]>> = {
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, -1],
  ArrowDown: [0, 1],
};

/** Turns keys on the focused container into steps. Keys with Ctrl or Meta belong to the screen and the browser. */
export class Keys {
  readonly #ended = new AbortController();
  /** Set while the pan key is down and went down here; a key pressed elsewhere must not place a point on its way up. */
  #panKeyDown = false;

  constructor(
    readonly container: HTMLElement,
    readonly target: KeyTarget,
  ) {
    const signal = this.#ended.signal;
    container.addEventListener("keydown", (e) => this.#down(e), { signal });
    container.addEventListener("keyup", (e) => this.#up(e), { signal });
    container.addEventListener("focus", () => target.focusChanged(), { signal });
    container.addEventListener(
      "blur",
      () => {
        this.#panKeyDown = false;
        target.panKey(false);
        target.arrowsReleased();
        target.focusChanged();
      },
      { signal },
    );
  }

  destroy(): void {
    this.#ended.abort();
  }

  #down(e: KeyboardEvent): void {
    if (e.target !== this.container || e.ctrlKey || e.metaKey || e.isComposing) return;
    if (!this.#take(e)) return;
    e.preventDefault();
    e.stopPropagation();
  }

  /** @returns true when the key was ours. */
  #take(e: KeyboardEvent): boolean {
    const arrow = ARROWS[e.key];
    if (arrow !== undefined) {
      const step = e.altKey ? 1 : e.shiftKey ? LONG_STEP_PX : STEP_PX;
      this.target.arrow(arrow[0] * step, arrow[1] * step, e.altKey ? "photograph" : "screen");
      return true;
    }
    if (e.altKey) return false;
    switch (e.key) {
      case " ":
        // Placing waits for the key to come up: held down with the pointer it pans.
        this.#panKeyDown = true;
        this.target.panKey(true);
        return true;
      case "Enter":
        this.target.enter();
        return true;
      case "Backspace":
        return this.target.takeBack();
      case "Escape":
        return this.target.escape();
      case ",":
        return this.target.stepHandle(-1);
      case ".":
        return this.target.stepHandle(1);
      case "+":
      case "=":
        this.target.zoomStep(1);
        return true;
      case "-":
        this.target.zoomStep(-1);
        return true;
      case "0":
        this.target.fit();
        return true;
      default:
        return false;
    }
  }

  #up(e: KeyboardEvent): void {
    if (e.target !== this.container) return;
    if (e.key in ARROWS) this.target.arrowsReleased();
    if (e.key !== " " || !this.#panKeyDown) return;
    this.#panKeyDown = false;
    const used = this.target.panKeyUsed;
    this.target.panKey(false);
    if (!used) this.target.place();
    e.preventDefault();
    e.stopPropagation();
  }
}
