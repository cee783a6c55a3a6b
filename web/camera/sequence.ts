import { END_SIDES, type EndSide, type WireBreak } from "../../model/break/wire-break.ts";
import type { ViewId } from "../../model/evidence/features.ts";

/** One photograph to take. */
export interface Step {
  readonly side: EndSide;
  readonly view: ViewId;
}

/** The photographs every break needs: each end end-on and from the side. */
export const STEPS: readonly Step[] = END_SIDES.flatMap((side): Step[] => [
  { side, view: "end_on" },
  { side, view: "side_0" },
]);

/** What is known of the break so far; null = nothing filed yet. */
type Ends = WireBreak["ends"] | null;

export const photographsAt = (ends: Ends, { side, view }: Step): number =>
  ends?.[side].photographs.filter((p) => p.view === view).length ?? 0;

/** Taken, or not to be had because the end was not recovered. */
export const isSettled = (ends: Ends, step: Step): boolean =>
  photographsAt(ends, step) > 0 || ends?.[step.side].recovery === "not-recovered";

/** First step that is open, those of one end first when it is named; null when all are settled. */
export function firstOpen(ends: Ends, side: EndSide | null = null): number | null {
  const open = STEPS.flatMap((step, i) => (isSettled(ends, step) ? [] : [i]));
  return open.find((i) => side !== null && STEPS[i]?.side === side) ?? open[0] ?? null;
}

/** The next open step after one, then any open one before it; null when all are settled. */
export function nextOpen(ends: Ends, after: number): number | null {
  const open = STEPS.flatMap((step, i) => (isSettled(ends, step) ? [] : [i]));
  return open.find((i) => i > after) ?? open[0] ?? null;
}
