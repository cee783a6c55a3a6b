import type { Mark } from "../break/wire-break.ts";
import { LITTLE_NECKING, LITTLE_NECKING_BELOW_PCT } from "./format.ts";
import type { MarkCase } from "./mark-case.ts";
import { needDiameter, pointsOf, withD } from "./mark-case.ts";
import type { MarkPlacing } from "./measure.ts";
import { MeasureError } from "./measure-error.ts";
import {
  between,
  componentAcross,
  direction,
  distance,
  halfAxes,
  lineAngle,
  magnitude,
  placingUncertaintyPx,
} from "./plane.ts";
import { ratioToReference, reductionFromRatios } from "./reduction-of-area.ts";
import { describeScale, lengthInMm, uncertaintyStated } from "./scale.ts";
import { combine, exact, over, scaled, standardUncertainty } from "./uncertain.ts";
import type { Quantity } from "./uncertain.ts";
import { drawnInMm, wireDiameterMm, wireFrame, wireFromEdges } from "./wire-frame.ts";
import type { WireFrame } from "./wire-frame.ts";

const NO_SCALE = "This photograph has no scale: ratios and angles only. Set the scale to get millimetres.";
/** A neck line further than this from square across the wire is questioned. @source common practice, no source */
const SQUARE_WITHIN_DEG = 10;

function inMm(c: MarkCase, px: Quantity): Quantity {
  const mm = lengthInMm(px, c.photograph);
  if (mm === null) throw new MeasureError("scale-missing", NO_SCALE);
  return mm;
}

const scaleOf = (c: MarkCase) => {
  const { scale } = c.photograph;
  return scale === null ? {} : { scale: describeScale(scale), uStated: uncertaintyStated(scale) };
};

/** Wire diameter and ovality from an outline. */
export function measureWireOutline(c: MarkCase): void {
  const { geometry, sheet, photograph } = c;
  const setTheScale = photograph.scale?.method === "wire-diameter" && photograph.scale.markId === c.mark.id;
  const how = setTheScale
    ? "This outline set the scale, so its diameter is the one that was stated."
    : geometry.type === "edges"
      ? "Distance between the two edges, across the wire."
      : "Diameter of the circle of equal area.";
  const diameterPx = (): Quantity => {
    if (geometry.type === "ellipse") {
      const [rx, ry] = halfAxes(c.mark.id, geometry, c.placingPx);
      return combine([rx, ry], ([a = 0, b = 0]) => 2 * Math.sqrt(a * b));
    }
    if (geometry.type !== "edges")
      throw new MeasureError(
        "degenerate-geometry",
        "Draw the wire as an outline end-on, or as two edges from the side.",
      );
    const edges = wireFromEdges(c.mark.id, geometry.points, c.placingPx);
    if (edges.warning !== null) sheet.warn(edges.warning);
    return edges.diameterPx;
  };
  sheet.number(
    "d0_mm",
    how,
    () => {
      const px = diameterPx();
      const mm = drawnInMm(c.mark, px, photograph);
      return mm ?? inMm(c, px);
    },
    scaleOf(c),
  );
  if (geometry.type === "ellipse")
    sheet.number("ovality_pct", "Difference of the largest and smallest diameter over their mean.", () => {
      const [rx, ry] = halfAxes(c.mark.id, geometry, c.placingPx);
      const ovality = combine([rx, ry], ([a = 0, b = 0]) => (200 * Math.abs(a - b)) / (a + b));
      // |a − b| hides the shares when both axes are equal; the mean does not.
      const u = (200 * Math.hypot(standardUncertainty(rx), standardUncertainty(ry))) / (rx.value + ry.value);
      return { value: ovality.value, shares: new Map([[`${c.mark.id}.ovality`, u]]) };
    });
}

/** Neck diameter in px: the drawn line, taken square across the wire where the axis is known. */
function neckPx(mark: Mark, frame: WireFrame, points: ReturnType<typeof pointsOf>): Quantity {
  const [a, b] = points;
  if (mark.geometry?.type !== "line" || !a || !b)
    throw new MeasureError("degenerate-geometry", "Draw the neck as a line across the smallest section.");
  const px = frame.axisDeg === null ? distance(a, b) : magnitude(componentAcross(between(a, b), frame.axisDeg));
  if (!(px.value > 0)) throw new MeasureError("diameter-not-positive", "The neck line has no length across the wire.");
  return px;
}

/** Neck diameter over wire diameter on the neck's own photograph. */
function neckRatio(mark: Mark, c: MarkCase): Quantity {
  const photograph =
    mark.photographId === c.photograph.id ? c.photograph : c.on.end.photographs.find((p) => p.id === mark.photographId);
  if (!photograph) throw new MeasureError("wire-missing", "The photograph of the other neck is not filed here.");
  const placingPx =
    photograph === c.photograph ? c.placingPx : (c.choice.placingPx ?? placingUncertaintyPx(photograph.widthPx));
  const frame = photograph === c.photograph ? c.frame : wireFrame(c.on.end, photograph, c.on.wireBreak, c.choice);
  const other: MarkCase = { ...c, mark, photograph, frame, placingPx };
  const points = mark.geometry?.type === "line" ? pointsOf(other, mark.geometry.points, mark) : [];
  return over(neckPx(mark, frame, points), needDiameter(other));
}

/** The smallest neck seen at right angles to this one on the same end; null when there is none that can be measured. */
function neckAtRightAngles(c: MarkCase): Quantity | null {
  const partner = c.photograph.view === "side_0" ? "side_90" : c.photograph.view === "side_90" ? "side_0" : null;
  const views = new Map(c.on.end.photographs.map((p) => [p.id, p.view]));
  let smallest: Quantity | null = null;
  for (const mark of c.on.end.marks) {
    if (mark.feature !== "neck" || mark.state !== "present" || mark.photographId === null) continue;
    if (partner === null || views.get(mark.photographId) !== partner) continue;
    const ratio = tryRatio(mark, c);
    if (ratio !== null && (smallest === null || ratio.value < smallest.value)) smallest = ratio;
  }
  return smallest;
}

function tryRatio(mark: Mark, c: MarkCase): Quantity | null {
  try {
    return neckRatio(mark, c);
  } catch (error) {
    if (error instanceof MeasureError) return null;
    throw error;
  }
}

/** Neck diameter, reduction of area (one or two directions) and its ratio to the reference pull. */
export function measureNeck(c: MarkCase): void {
  const { sheet, frame } = c;
  const points = c.geometry.type === "line" ? pointsOf(c, c.geometry.points) : [];
  const [a, b] = points;
  if (a && b && frame.axisDeg !== null && distance(a, b).value > 0) {
    const lean = 90 - lineAngle(direction(a, b), frame.axisDeg).value;
    if (lean > SQUARE_WITHIN_DEG) sheet.warn(`The neck line is ${lean.toFixed(0)}° off square across the wire.`);
  }
  sheet.number(
    "neck_d_mm",
    "Length of the line across the smallest section.",
    () => inMm(c, neckPx(c.mark, frame, points)),
    scaleOf(c),
  );
  const second = neckAtRightAngles(c);
  const way =
    second === null
      ? "1 − (d/D)², one direction, the neck taken as round"
      : "1 − d₁·d₂/D² from two directions at right angles";
  sheet.number("ra_pct", `${way}${withD(c)}.`, () => {
    const first = neckRatio(c.mark, c);
    return reductionFromRatios(second === null ? [first] : [first, second]);
  });
  finishNeck(sheet, c.on);
}

/** Reduction of area from a neck diameter typed without a drawing, and the ratio to the reference pull. */
export function finishNeck(sheet: MarkCase["sheet"], on: MarkPlacing): void {
  const typed = sheet.result().measures.find((m) => m.key === "neck_d_mm" && m.given)?.value;
  if (typeof typed === "number" && !sheet.has("ra_pct")) {
    const known = wireDiameterMm(on.end, on.wireBreak, null);
    if (known !== null)
      sheet.number(
        "ra_pct",
        `1 − (d/D)² from the stated neck diameter; D from ${known.from}.`,
        () => reductionFromRatios([over(exact(typed), known.diameterMm)]),
        { uStated: false },
      );
  }
  const ra = sheet.quantity("ra_pct");
  const { refRaPct, refRaUPct } = on.wireBreak.context;
  if (ra !== undefined && refRaPct !== null) {
    const stated = sheet.result().measures.find((m) => m.key === "ra_pct")?.u !== null;
    const reference = refRaUPct === null ? " (its uncertainty is not stated)" : "";
    sheet.number(
      "ra_ratio",
      `Reduction of area over the ${refRaPct} % of the reference pull${reference}.`,
      () => ratioToReference(ra, { value: refRaPct, u: refRaUPct }),
      { uStated: stated },
    );
  }
  if (ra !== undefined && ra.value < LITTLE_NECKING_BELOW_PCT)
    sheet.warn(`Below ${LITTLE_NECKING_BELOW_PCT} %: ${LITTLE_NECKING}. Small necks are hard to measure.`);
}

/** Diameter of a drawn zone as that of the circle of equal area, px. */
export const equivalentDiameter = (area: Quantity): Quantity => {
  const d = Math.sqrt((4 * area.value) / Math.PI);
  return { value: d, shares: scaled(area, d / (2 * area.value)).shares };
};
