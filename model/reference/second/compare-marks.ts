import type { EndSide, Mark, Photograph, SecondReading, WireBreak } from "../../break/wire-break.ts";
import { END_SIDES } from "../../break/wire-break.ts";
import type { FeatureId } from "../../evidence/features.ts";
import type { MarkState } from "../../evidence/observations.ts";
import { wireFrame } from "../../measure/wire-frame.ts";
import { markAgreement } from "../agreement/marks.ts";
import { marksOfBoth } from "./pairs.ts";

/** Least overlap at which two outlines are taken for the same thing. @source common practice, no source */
export const SAME_IOU = 0.1;
/** Largest distance at which two points or lines are taken for the same, wire diameters. @source common practice, no source */
export const SAME_DISTANCE_D = 0.25;
/** The same where the wire diameter is not known on the picture, as a share of its shorter side. */
export const SAME_DISTANCE_SHARE = 0.1;
/** Below this overlap two outlines of the same thing differ strongly. @source common practice, no source */
export const STRONG_IOU = 0.5;
/** Beyond this distance, wire diameters, two lines differ strongly. @source common practice, no source */
export const STRONG_DISTANCE_D = 0.1;

/** A thing both readers drew. */
export interface DrawnByBoth {
  readonly side: EndSide;
  readonly feature: FeatureId;
  readonly firstId: string;
  readonly secondId: string;
  /** Common area over the area of both together; null for points and lines. */
  readonly iou: number | null;
  /** Distance of points or lines in wire diameters; null for areas, and where the diameter is not known. */
  readonly distanceD: number | null;
}

/** A judgement about one feature of one end; `null` = that reader said nothing of it. */
export interface JudgedByBoth {
  readonly side: EndSide;
  readonly feature: FeatureId;
  readonly first: MarkState | null;
  readonly second: MarkState | null;
}

export interface MarksCompared {
  readonly drawn: readonly DrawnByBoth[];
  /** Drawn by one reader only, or too far from anything of the other. */
  readonly firstOnly: readonly FeatureId[];
  readonly secondOnly: readonly FeatureId[];
  /** Every feature that at least one of them judged, end by end. The wire's own outline is no judgement. */
  readonly judged: readonly JudgedByBoth[];
  /** Whether they differ strongly, and by what. */
  readonly strong: readonly StrongDifference[];
}

export type StrongDifference =
  | { readonly by: "opposite"; readonly side: EndSide; readonly feature: FeatureId }
  | { readonly by: "shape"; readonly side: EndSide; readonly feature: FeatureId; readonly iou: number }
  | { readonly by: "place"; readonly side: EndSide; readonly feature: FeatureId; readonly distanceD: number }
  /** Less than half of what was drawn was drawn by both. */
  | { readonly by: "few-in-common"; readonly share: number };

/** Compares what two readers marked on the same photographs. */
export function compareMarks(wireBreak: WireBreak, reading: SecondReading): MarksCompared {
  const both = marksOfBoth(wireBreak, reading);
  const drawn: DrawnByBoth[] = [];
  const only: { first: FeatureId[]; second: FeatureId[] } = { first: [], second: [] };
  for (const side of END_SIDES)
    for (const photograph of wireBreak.ends[side].photographs) {
      const on = (marks: readonly Mark[]) => marks.filter(({ photographId }) => photographId === photograph.id);
      const [first, second] = [on(both[side].first), on(both[side].second)];
      const diameterPx = wirePx(wireBreak, side, photograph, both[side]);
      const distancePx =
        diameterPx === null
          ? SAME_DISTANCE_SHARE * Math.min(photograph.widthPx, photograph.heightPx)
          : SAME_DISTANCE_D * diameterPx;
      const found = markAgreement(first, second, { iou: SAME_IOU, distancePx });
      for (const { feature, first: a, second: b, iou, distancePx: px } of found.pairs)
        drawn.push({
          side,
          feature,
          firstId: a.id,
          secondId: b.id,
          iou,
          distanceD: px === null || diameterPx === null ? null : px / diameterPx,
        });
      only.first.push(...found.firstOnly.map(({ feature }) => feature));
      only.second.push(...found.secondOnly.map(({ feature }) => feature));
    }
  const judged = END_SIDES.flatMap((side) => judgedOn(side, both[side].first, both[side].second));
  const rest = { drawn, firstOnly: only.first, secondOnly: only.second, judged };
  return { ...rest, strong: strongIn(rest) };
}

/** Wire diameter on the photograph, px, by the first reader's outline, else by the second's; null = not known. */
function wirePx(
  wireBreak: WireBreak,
  side: EndSide,
  photograph: Photograph,
  { first, second }: { readonly first: readonly Mark[]; readonly second: readonly Mark[] },
): number | null {
  for (const marks of [first, second]) {
    const { diameterPx } = wireFrame({ ...wireBreak.ends[side], marks }, photograph, wireBreak);
    if (diameterPx !== null && diameterPx.value > 0) return diameterPx.value;
  }
  return null;
}

function judgedOn(side: EndSide, first: readonly Mark[], second: readonly Mark[]): readonly JudgedByBoth[] {
  const features = [...new Set([...first, ...second].map(({ feature }) => feature))].filter(
    (f) => f !== "wire_outline",
  );
  return features.map((feature) => ({
    side,
    feature,
    first: stateOf(first, feature),
    second: stateOf(second, feature),
  }));
}

/** What is seen anywhere on an end is seen on it; else what was looked for and is absent counts before "cannot tell". */
function stateOf(marks: readonly Mark[], feature: FeatureId): MarkState | null {
  const states = marks.filter((mark) => mark.feature === feature).map(({ state }) => state);
  return (["present", "absent", "not_assessable"] as const).find((state) => states.includes(state)) ?? null;
}

function strongIn({
  drawn,
  firstOnly,
  secondOnly,
  judged,
}: Omit<MarksCompared, "strong">): readonly StrongDifference[] {
  const strong: StrongDifference[] = judged
    .filter(({ first, second }) => first !== second && [first, second].every((s) => s === "present" || s === "absent"))
    .map(({ side, feature }) => ({ by: "opposite", side, feature }));
  for (const { side, feature, iou, distanceD } of drawn) {
    if (iou !== null && iou < STRONG_IOU) strong.push({ by: "shape", side, feature, iou });
    if (distanceD !== null && distanceD > STRONG_DISTANCE_D) strong.push({ by: "place", side, feature, distanceD });
  }
  const marks = 2 * drawn.length + firstOnly.length + secondOnly.length;
  const share = marks === 0 ? 1 : (2 * drawn.length) / marks;
  // One reader who drew nothing says nothing about agreement.
  const bothDrew = drawn.length > 0 || (firstOnly.length > 0 && secondOnly.length > 0);
  if (bothDrew && share < 0.5) strong.push({ by: "few-in-common", share });
  return strong;
}
