import type { Geometry, Point } from "../../model/break/geometry.ts";
import { handlesOf, movedBy, reshaped, type Handle } from "./handles.ts";

/** What the hand holds of a mark: one of its handles or the whole of it. */
export type Hold = { readonly kind: "handle"; readonly index: number } | { readonly kind: "whole" };

/** Where shapes go while and after they change. */
export interface ReshapingOutlet {
  /** The shape to show now; null when the recorded one is right again. */
  show(markId: string, geometry: Geometry | null): void;
  reshaped(markId: string, geometry: Geometry): void;
}

interface Change {
  readonly markId: string;
  readonly before: Geometry;
  readonly hold: Hold;
  /** Where the hand took hold, photograph pixels. */
  readonly from: Point;
  now: Geometry;
}

/** A change of the selected mark from the first touch to the release: shown at once, committed once. */
export class Reshaping {
  #change: Change | null = null;

  /** @param armPx – how far the turn handle of an ellipse stands off its rim now, photograph pixels. */
  constructor(
    readonly outlet: ReshapingOutlet,
    readonly armPx: () => number,
  ) {}

  get active(): boolean {
    return this.#change !== null;
  }

  /** The place that is being moved, for the magnifier; null for a mark moved as a whole. */
  movedPlace(): Point | null {
    const change = this.#change;
    if (change === null || change.hold.kind === "whole") return null;
    return handlesOf(change.now, this.armPx())[change.hold.index]?.at ?? null;
  }

  begin(markId: string, geometry: Geometry, hold: Hold, from: Point): void {
    this.commit();
    this.#change = { markId, before: geometry, hold, from, now: geometry };
  }

  /** The hand moved to a place. */
  to(p: Point): void {
    const change = this.#change;
    if (change === null) return;
    const dx = p[0] - change.from[0];
    const dy = p[1] - change.from[1];
    change.now = this.#changed(change.before, change.hold, dx, dy);
    this.outlet.show(change.markId, change.now);
  }

  /** Moves by a step from where it is now; begins a change when none is under way. */
  step(markId: string, geometry: Geometry, hold: Hold, dx: number, dy: number): void {
    const same = this.#change?.markId === markId && sameHold(this.#change.hold, hold);
    if (!same) this.begin(markId, geometry, hold, [0, 0]);
    const change = this.#change;
    if (change === null) return;
    change.now = this.#changed(change.now, hold, dx, dy);
    this.outlet.show(markId, change.now);
  }

  /** Ends the change; nothing goes out when the shape is as it was. */
  commit(): void {
    const change = this.#change;
    this.#change = null;
    if (change === null) return;
    if (change.now === change.before) this.outlet.show(change.markId, null);
    else this.outlet.reshaped(change.markId, change.now);
  }

  /** Throws the change away. @returns true when there was one. */
  cancel(): boolean {
    const change = this.#change;
    this.#change = null;
    if (change === null) return false;
    this.outlet.show(change.markId, null);
    return true;
  }

  /** A handle keeps its distance from the hand, so that taking hold beside its middle moves nothing. */
  #changed(g: Geometry, hold: Hold, dx: number, dy: number): Geometry {
    if (hold.kind === "whole") return movedBy(g, dx, dy);
    const at = handlesOf(g, this.armPx())[hold.index]?.at;
    return at === undefined ? g : reshaped(g, hold.index, [at[0] + dx, at[1] + dy]);
  }
}

const sameHold = (a: Hold, b: Hold): boolean =>
  a.kind === "handle" && b.kind === "handle" ? a.index === b.index : a.kind === b.kind;

/** The handle within reach of a place, the nearest first. @returns its index, or null. */
export function handleAt(handles: readonly Handle[], p: Point, reachPx: number): number | null {
  let best: number | null = null;
  let least = reachPx;
  handles.forEach(({ at }, i) => {
    const distance = Math.hypot(at[0] - p[0], at[1] - p[1]);
    if (distance <= least) {
      least = distance;
      best = i;
    }
  });
  return best;
}
