import type { Held } from "./draft.ts";
import { stagePoint, type StagePoint } from "./transform.ts";

/** What a press turned out to take hold of. */
export type Grip = "draw" | "reshape" | "pan";

/** What the stage does with gestures. Places are in stage pixels. */
export interface GestureTarget {
  /** `reachPx`: how near counts as hit, larger for fingers. */
  press(at: StagePoint, held: Held, reachPx: number): Grip;
  drag(at: StagePoint, held: Held): void;
  /** The press became a drag and ended. */
  release(at: StagePoint, held: Held): void;
  /** The press ended where it began. `isSecond`: it follows another click on the same spot at once. */
  click(at: StagePoint, held: Held, reachPx: number, isSecond: boolean): void;
  /** The press was taken away; nothing may come of it. */
  dropPress(): void;
  hover(at: StagePoint | null, held: Held, reachPx: number): void;
  panBy(dx: number, dy: number): void;
  zoomBy(factor: number, at: StagePoint): void;
  /** Whether the view is moving, for what is left out meanwhile; told again without a change. */
  moving(isMoving: boolean): void;
}

/** Movement below this is a trembling hand, not a drag, stage pixels. */
const DRAG_FROM_PX = 4;
const SECOND_CLICK_MS = 350;
const SECOND_CLICK_PX = 6;
const REACH_PX = 8;
const FINGER_REACH_PX = 18;
const WHEEL_RATE = 0.0015;
/** Track pads report a pinch as a wheel with Ctrl and small steps. */
const PINCH_RATE = 0.01;
const LINE_PX = 16;
const WHEEL_REST_MS = 140;

interface Press {
  readonly id: number;
  readonly grip: Grip | "finger-pan";
  readonly from: StagePoint;
  last: StagePoint;
  isDrag: boolean;
}

/**
 * Turns pointer events of a mouse, a pen or fingers into presses, drags and clicks. Pressure is ignored: a mark
 * has no thickness. All listeners are on the container and go with `destroy`.
 */
export class Gestures {
  readonly #ended = new AbortController();
  readonly #down = new Map<number, StagePoint>();
  #press: Press | null = null;
  #lastClick: { readonly at: StagePoint; readonly time: number } | null = null;
  #wheelRest: ReturnType<typeof setTimeout> | null = null;
  #panKeyHeld = false;
  #pannedWithKey = false;

  constructor(
    readonly container: HTMLElement,
    readonly target: GestureTarget,
  ) {
    const on = <K extends keyof HTMLElementEventMap>(type: K, run: (e: HTMLElementEventMap[K]) => void): void =>
      container.addEventListener(type, run, { signal: this.#ended.signal, passive: false });
    on("pointerdown", (e) => this.#pointerDown(e));
    on("pointermove", (e) => this.#pointerMove(e));
    on("pointerup", (e) => this.#pointerUp(e));
    on("pointercancel", (e) => this.#pointerLost(e));
    on("lostpointercapture", (e) => this.#pointerLost(e));
    on("pointerleave", (e) => {
      if (this.#down.size === 0) target.hover(null, held(e), REACH_PX);
    });
    on("wheel", (e) => this.#wheel(e));
  }

  /** True while a press is under way. */
  get pressed(): boolean {
    return this.#press !== null;
  }

  /** While the pan key is held, a drag pans whatever tool is in hand. */
  holdPanKey(isHeld: boolean): void {
    if (isHeld && !this.#panKeyHeld) this.#pannedWithKey = false;
    this.#panKeyHeld = isHeld;
  }

  /** True when the pointer was pressed since the pan key went down, so that the key meant panning. */
  get pannedWithKey(): boolean {
    return this.#pannedWithKey;
  }

  /** Ends the press without a result, as Escape does. */
  drop(): void {
    const press = this.#press;
    this.#press = null;
    if (press === null) return;
    if (press.grip === "draw" || press.grip === "reshape") this.target.dropPress();
    this.#tellMoving();
  }

  destroy(): void {
    this.#ended.abort();
    if (this.#wheelRest !== null) clearTimeout(this.#wheelRest);
    this.#down.clear();
    this.#press = null;
  }

  /** Stage pixels of an event, also where a style sheet shows the container smaller or larger. */
  #at(e: MouseEvent): StagePoint {
    const box = this.container.getBoundingClientRect();
    const kx = box.width === 0 ? 1 : this.container.offsetWidth / box.width;
    const ky = box.height === 0 ? 1 : this.container.offsetHeight / box.height;
    return stagePoint(
      (e.clientX - box.left) * kx - this.container.clientLeft,
      (e.clientY - box.top) * ky - this.container.clientTop,
    );
  }

  #pointerDown(e: PointerEvent): void {
    const isMiddle = e.button === 1;
    if (e.button !== 0 && !isMiddle) return;
    const at = this.#at(e);
    this.#down.set(e.pointerId, at);
    this.#capture(e.pointerId);
    this.container.focus({ preventScroll: true });
    if (isMiddle) e.preventDefault();
    if (this.#down.size > 1) {
      // A second finger turns the gesture into a pinch; what the first one began is dropped.
      this.drop();
      this.#tellMoving();
      return;
    }
    const pans = isMiddle || this.#panKeyHeld;
    if (this.#panKeyHeld) this.#pannedWithKey = true;
    const grip = pans ? "finger-pan" : this.target.press(at, held(e), reach(e));
    this.#press = { id: e.pointerId, grip, from: at, last: at, isDrag: false };
  }

  #pointerMove(e: PointerEvent): void {
    const at = this.#at(e);
    if (this.#down.size > 1) {
      this.#pinch(e.pointerId, at);
      return;
    }
    const press = this.#press;
    if (press === null || press.id !== e.pointerId) {
      if (!this.#down.has(e.pointerId)) this.target.hover(at, held(e), reach(e));
      return;
    }
    this.#down.set(e.pointerId, at);
    if (!press.isDrag && apart(press.from, at) < DRAG_FROM_PX) return;
    press.isDrag = true;
    this.#tellMoving();
    if (press.grip === "draw" || press.grip === "reshape") {
      // Fast hands move far between frames; the places in between make a traced outline true.
      const between = press.grip === "draw" ? (e.getCoalescedEvents?.() ?? []) : [];
      for (const one of between.slice(0, -1)) this.target.drag(this.#at(one), held(e));
      this.target.drag(at, held(e));
    } else this.target.panBy(at[0] - press.last[0], at[1] - press.last[1]);
    press.last = at;
  }

  #pointerUp(e: PointerEvent): void {
    const at = this.#at(e);
    const wasPinch = this.#down.size > 1;
    this.#down.delete(e.pointerId);
    if (wasPinch) {
      this.#tellMoving();
      return;
    }
    const press = this.#press;
    if (press === null || press.id !== e.pointerId) return;
    this.#press = null;
    if (press.isDrag) {
      if (press.grip === "draw" || press.grip === "reshape") this.target.release(at, held(e));
      this.#tellMoving();
      return;
    }
    if (press.grip === "finger-pan") return;
    const last = this.#lastClick;
    const isSecond = last !== null && e.timeStamp - last.time < SECOND_CLICK_MS && apart(last.at, at) < SECOND_CLICK_PX;
    this.#lastClick = isSecond ? null : { at, time: e.timeStamp };
    this.target.click(at, held(e), reach(e), isSecond);
  }

  #pointerLost(e: PointerEvent): void {
    // After an ordinary release the pointer is no longer listed and there is nothing to drop.
    if (!this.#down.delete(e.pointerId)) return;
    if (this.#press?.id === e.pointerId) this.drop();
    this.#tellMoving();
  }

  #pinch(id: number, at: StagePoint): void {
    const before = [...this.#down.values()];
    this.#down.set(id, at);
    const after = [...this.#down.values()];
    const [a0, b0] = before;
    const [a1, b1] = after;
    if (a0 === undefined || b0 === undefined || a1 === undefined || b1 === undefined) return;
    const middle0 = stagePoint((a0[0] + b0[0]) / 2, (a0[1] + b0[1]) / 2);
    const middle1 = stagePoint((a1[0] + b1[0]) / 2, (a1[1] + b1[1]) / 2);
    this.target.panBy(middle1[0] - middle0[0], middle1[1] - middle0[1]);
    const spread0 = apart(a0, b0);
    if (spread0 > 0) this.target.zoomBy(apart(a1, b1) / spread0, middle1);
  }

  #wheel(e: WheelEvent): void {
    e.preventDefault();
    const unit =
      e.deltaMode === WheelEvent.DOM_DELTA_PIXEL ? 1 : e.deltaMode === WheelEvent.DOM_DELTA_LINE ? LINE_PX : 400;
    if (this.#wheelRest !== null) clearTimeout(this.#wheelRest);
    this.#wheelRest = setTimeout(() => {
      this.#wheelRest = null;
      this.#tellMoving();
    }, WHEEL_REST_MS);
    this.#tellMoving();
    this.target.zoomBy(Math.exp(-e.deltaY * unit * (e.ctrlKey ? PINCH_RATE : WHEEL_RATE)), this.#at(e));
  }

  /** The view moves while a drag pans, two fingers are down, or the wheel has not come to rest. */
  #tellMoving(): void {
    const press = this.#press;
    const pans = press !== null && press.isDrag && press.grip !== "draw" && press.grip !== "reshape";
    this.target.moving(pans || this.#down.size > 1 || this.#wheelRest !== null);
  }

  /** Keeps the pointer when it leaves the container while pressed. */
  #capture(id: number): void {
    try {
      this.container.setPointerCapture(id);
    } catch (error) {
      // The pointer may be gone already (a pen lifted at once); then there is nothing to keep.
      if (!(error instanceof DOMException && error.name === "NotFoundError")) throw error;
    }
  }
}

const apart = (a: StagePoint, b: StagePoint): number => Math.hypot(a[0] - b[0], a[1] - b[1]);
const held = (e: MouseEvent): Held => ({ even: e.shiftKey, fromCentre: e.altKey });
const reach = (e: PointerEvent): number => (e.pointerType === "touch" ? FINGER_REACH_PX : REACH_PX);
