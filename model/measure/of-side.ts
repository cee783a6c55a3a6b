import type { Point } from "../break/geometry.ts";
import type { MarkCase } from "./mark-case.ts";
import {
  alongWire,
  inDiameters,
  needAngle,
  needAxis,
  needCentreLine,
  needDiameter,
  needPath,
  needZone,
  pointList,
  withD,
} from "./mark-case.ts";
import { MeasureError } from "./measure-error.ts";
import { countMarks, passesThroughAxis, rimDepth } from "./of-face.ts";
import { equivalentDiameter } from "./of-wire.ts";
import {
  component,
  componentAcross,
  direction,
  extent,
  halfWay,
  lineAngle,
  pathLength,
  placed,
  rayAngle,
} from "./plane.ts";
import { combine, minus, scaled } from "./uncertain.ts";
import type { Quantity } from "./uncertain.ts";

/** A side view tilted by 5° shortens lengths along the wire by 0.4 %, by 15° by 3.4 % (cosine of the tilt). */
const TILT_NOTE = "a side view tilted by 5° shortens it by 0.4 %";

/**
 * Angle of a drawn angle's line to the wire axis, 0–90°.
 *
 * With the axis known it is the arm that lies further from it (so an arm laid along the wire does no harm);
 * without, it is the angle between the two arms, one of which must then lie along the wire.
 */
function lineToAxis(c: MarkCase): Quantity {
  const [a, vertex, b] = needAngle(c);
  const [first, second] = [direction(vertex, a), direction(vertex, b)];
  if (c.frame.axisDeg === null) return lineAngle(first, second);
  const axis = needAxis(c);
  const [one, two] = [lineAngle(first, axis), lineAngle(second, axis)];
  return one.value > two.value ? one : two;
}

const angleHow = (c: MarkCase) =>
  c.frame.axisDeg === null
    ? "Angle between the arms, one of them along the wire: the wire axis is not marked."
    : "Angle of the drawn line to the wire axis.";

/** Angle of the fracture plane. */
export const measureFracturePlane = (c: MarkCase): void =>
  c.sheet.number("angle_deg", angleHow(c), () => lineToAxis(c));

/** Angle of the lip, side view. */
export const measureLipAngle = (c: MarkCase): void => c.sheet.number("lip_angle_deg", angleHow(c), () => lineToAxis(c));

/**
 * Draw lines against the axis: helix angle, turns per 100 D and hand.
 *
 * Right-hand: with the wire upright the lines on the near side rise to the right. Turns in 100 D = 100 tan(helix)/π.
 */
export function measureTwistLines(c: MarkCase): void {
  const { sheet } = c;
  sheet.number("helix_angle_deg", angleHow(c), () => lineToAxis(c));
  sheet.number("turns_per_100d", "100 tan(helix angle)/π.", () =>
    combine([lineToAxis(c)], ([deg = 0]) => (100 * Math.tan((Math.min(deg, 89) * Math.PI) / 180)) / Math.PI),
  );
  sheet.word("hand", "Right-hand when the near lines rise to the right with the wire upright.", handOf(c));
}

function handOf(c: MarkCase): "left" | "right" | null {
  if (c.geometry.type !== "angle") return null;
  const [a, vertex, b] = c.geometry.points;
  const deg = (p: Point) => (Math.atan2(p[1] - vertex[1], p[0] - vertex[0]) * 180) / Math.PI;
  const lean = (line: number, axis: number) => ((((line - axis + 90) % 180) + 180) % 180) - 90;
  const axis = c.frame.axisDeg?.value ?? deg(a);
  const leans = [lean(deg(a), axis), lean(deg(b), axis)];
  const furthest = leans.reduce((x, y) => (Math.abs(y) > Math.abs(x) ? y : x));
  if (!Number.isFinite(furthest) || Math.abs(furthest) < 1 || Math.abs(furthest) > 89) return null;
  return furthest > 0 ? "right" : "left";
}

/** Bend: how far the wire is bent from straight. */
export const measureBendSet = (c: MarkCase): void =>
  c.sheet.number("bend_angle_deg", "180° less the angle between the two arms.", () => {
    const [a, vertex, b] = needAngle(c);
    const inside = rayAngle(direction(vertex, a), direction(vertex, b));
    return { value: 180 - inside.value, shares: scaled(inside, -1).shares };
  });

/** Line along the wire: its length from the side, its depth in a transverse section. */
export function measureLongitudinalLine(c: MarkCase): void {
  if (c.kind === "T")
    c.sheet.number("depth_over_D", `Length of the line in the section${withD(c)}.`, () =>
      inDiameters(c, pathLength(needPath(c))),
    );
  else measurePathLength(c);
}

/** Length of a drawn line over D. */
export const measurePathLength = (c: MarkCase): void =>
  c.sheet.number("length_d", `Length of the drawn line${withD(c)}; ${TILT_NOTE}.`, () =>
    inDiameters(c, pathLength(needPath(c))),
  );

/** Split along the wire: length from the side or in section, through the axis or not end-on. */
export function measureLongitudinalSplit(c: MarkCase): void {
  if (c.kind === "E")
    c.sheet.word("through_axis", "The line passes within a tenth of R of the centre.", passesThroughAxis(c));
  else measurePathLength(c);
}

/** Length of a zone along the wire over D. */
export const measureZoneLength = (c: MarkCase): void =>
  c.sheet.number("length_d", `Length along the wire${withD(c)}; ${TILT_NOTE}.`, () =>
    inDiameters(c, extent(c.mark.id, needZone(c).points, needAxis(c), "along", c.placingPx).length),
  );

/**
 * Share of the circumference behind what a side view shows: from the two offsets y of the mark from the centre line,
 * (asin(y₂/R) − asin(y₁/R))/2π.
 */
function arcFromSide(c: MarkCase, points: readonly Point[]): Quantity {
  const axis = needAxis(c);
  const line = componentAcross(needCentreLine(c), axis);
  const { from, to } = extent(c.mark.id, points, axis, "across", c.placingPx);
  const radius = scaled(needDiameter(c), 0.5);
  return combine([minus(from, line), minus(to, line), radius], ([low = 0, high = 0, r = 1]) => {
    const turn = (y: number) => Math.asin(Math.max(-1, Math.min(1, y / r)));
    return (turn(high) - turn(low)) / (2 * Math.PI);
  });
}

const ARC_HOW = "From its offsets across the wire, wrapped round the visible half";

/** Share of the circumference of a zone, side view. */
export const measureZoneArc = (c: MarkCase): void =>
  c.sheet.number("arc_fraction", `${ARC_HOW}${withD(c)}.`, () => arcFromSide(c, needZone(c).points));

/** Cracks across the surface: number, spacing along the wire, share of the circumference. */
export function measureSurfaceCrack(c: MarkCase): void {
  countMarks(c, "Cracks");
  const middles = c.group.flatMap((mark) => {
    const points = mark.geometry === null ? [] : pointList(mark.geometry);
    return points.length > 1 ? [placed(`${mark.id}.middle`, halfWay(points), c.placingPx)] : [];
  });
  if (middles.length > 1)
    c.sheet.number(
      "spacing_d",
      `Distance along the wire of the outermost cracks, over the number of gaps${withD(c)}.`,
      () => {
        const axis = needAxis(c);
        const ordered = [...middles].sort((p, q) => component(p, axis).value - component(q, axis).value);
        const [first, last] = [ordered[0], ordered.at(-1)];
        if (!first || !last) throw new MeasureError("too-few", "Mark at least two cracks to get a spacing.");
        return inDiameters(c, scaled(alongWire(c, first, last), 1 / (middles.length - 1)));
      },
    );
  c.sheet.number("arc_fraction", `${ARC_HOW}${withD(c)}.`, () => {
    needPath(c);
    return arcFromSide(c, pointList(c.geometry));
  });
}

/** Nick: depth and length in profile; depth in from the rim end-on. */
export function measureNick(c: MarkCase): void {
  if (c.kind === "E") {
    c.sheet.number("depth_over_D", `From the outline to its innermost point${withD(c)}.`, () => rimDepth(c));
    return;
  }
  c.sheet.number("depth_over_D", `Reach across the wire, the nick seen in profile${withD(c)}.`, () =>
    inDiameters(c, extent(c.mark.id, needZone(c).points, needAxis(c), "across", c.placingPx).length),
  );
  measureZoneLength(c);
}

/** Joint band: length along the wire and diameter there. */
export function measureWeldBand(c: MarkCase): void {
  measureZoneLength(c);
  c.sheet.number("local_d_ratio", `Width of the band across the wire, drawn from edge to edge${withD(c)}.`, () =>
    inDiameters(c, extent(c.mark.id, needZone(c).points, needAxis(c), "across", c.placingPx).length),
  );
}

/** Bead on a molten end. */
export const measureMeltBead = (c: MarkCase): void =>
  c.sheet.number("bead_d_ratio", `Diameter of the circle of equal area${withD(c)}.`, () =>
    inDiameters(c, equivalentDiameter(needZone(c).area)),
  );

/** Pits: number; depth only where the view shows it. */
export function measureCorrosionPit(c: MarkCase): void {
  countMarks(c, "Pits");
  c.sheet.number("depth_over_D", `From the outline to its innermost point${withD(c)}.`, () => {
    if (c.kind !== "E")
      throw new MeasureError("wrong-view", "A pit seen from the side shows its width, not its depth. Mark it end-on.");
    return rimDepth(c);
  });
}
