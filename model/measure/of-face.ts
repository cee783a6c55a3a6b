import type { Point } from "../break/geometry.ts";
import type { MarkCase } from "./mark-case.ts";
import {
  distanceFromAxis,
  inDiameters,
  inRadii,
  needArea,
  needAxis,
  needCentre,
  needDiameter,
  needZone,
  pointList,
  pointsOf,
  withD,
} from "./mark-case.ts";
import { MeasureError } from "./measure-error.ts";
import { equivalentDiameter } from "./of-wire.ts";
import { angularCover, between, distance, extent, halfWay, meetingPoint, placed } from "./plane.ts";
import type { PlacedPoint, Zone } from "./plane.ts";
import { describeScale, lengthInMm, uncertaintyStated } from "./scale.ts";
import { directionDeg, exact, minus, over, reading, scaled, standardUncertainty } from "./uncertain.ts";
import type { Quantity } from "./uncertain.ts";

const at = (p: PlacedPoint): Point => [p.x.value, p.y.value];

/** Number of marks of this feature on this photograph. */
export const countMarks = (c: MarkCase, what: string): void =>
  c.sheet.number("count", `${what} marked on this photograph.`, () => exact(c.group.length));

/** Share of the sound section that a zone of the face takes up. */
export function measureAreaFraction(c: MarkCase): void {
  c.sheet.number("area_fraction", `Area of the zone over the section of the wire${withD(c)}.`, () =>
    over(needZone(c).area, needArea(c)),
  );
}

/** Hole: equivalent diameter and offset end-on; mouth, depth and offset in a longitudinal section. */
export function measureEndHole(c: MarkCase): void {
  const { sheet, placingPx } = c;
  if (c.kind === "L") {
    const across = () => extent(c.mark.id, needZone(c).points, needAxis(c), "across", placingPx);
    sheet.number("hole_d_over_D", `Widest part across the wire${withD(c)}.`, () => inDiameters(c, across().length));
    sheet.number("depth_d", `Length along the wire in the section${withD(c)}.`, () =>
      inDiameters(c, extent(c.mark.id, needZone(c).points, needAxis(c), "along", placingPx).length),
    );
    sheet.number("offset_ratio", `Distance of the middle of the hole from the centre line, over R${withD(c)}.`, () =>
      inRadii(c, distanceFromAxis(c, needZone(c).centre)),
    );
    return;
  }
  sheet.number("hole_d_over_D", `Diameter of the circle of equal area${withD(c)}.`, () =>
    inDiameters(c, equivalentDiameter(needZone(c).area)),
  );
  sheet.number(
    "offset_ratio",
    `Distance of the middle of the hole from the centre of the outline, over R${withD(c)}.`,
    () => inRadii(c, distance(needCentre(c), needZone(c).centre)),
  );
}

/** Fibrous centre: share of the section and equivalent diameter. */
export function measureFibrousZone(c: MarkCase): void {
  measureAreaFraction(c);
  c.sheet.number("diameter_over_D", `Diameter of the circle of equal area${withD(c)}.`, () =>
    inDiameters(c, equivalentDiameter(needZone(c).area)),
  );
}

/** Where the ridges of a radial pattern meet. */
export function measureRadialMarks(c: MarkCase): void {
  c.sheet.number(
    "converge_r",
    `Point nearest to all ridges on this photograph, distance from the centre over R${withD(c)}.`,
    () => {
      const lines = c.group.flatMap((mark): (readonly [PlacedPoint, PlacedPoint])[] => {
        const points = pointsOf(c, mark.geometry === null ? [] : pointList(mark.geometry), mark);
        const [first, last] = [points[0], points.at(-1)];
        return first && last && distance(first, last).value > 0 ? [[first, last]] : [];
      });
      if (lines.length < 2)
        throw new MeasureError("too-few", "Mark at least two ridges: the point where they meet is sought.");
      return inRadii(c, distance(needCentre(c), meetingPoint(lines)));
    },
  );
}

/** Angular cover of the mark as seen from the centre; its ends are placed to within the angle of one click. */
function arcFraction(c: MarkCase, closed: boolean): Quantity {
  const points = closed ? needZone(c).points : pointList(c.geometry);
  const { share, meanRadius } = angularCover(points, at(needCentre(c)), closed);
  if (!(share > 0) || !(meanRadius > 0))
    throw new MeasureError("degenerate-geometry", "The arc is too short to be read. Draw it along the rim.");
  const u = share >= 1 ? 0 : (Math.SQRT2 * c.placingPx) / (2 * Math.PI * meanRadius);
  return reading(`${c.mark.id}.arc`, share, u);
}

/** Lip: share of the rim and mean width end-on. */
export function measureShearLip(c: MarkCase): void {
  const closed = c.geometry.type === "polygon";
  c.sheet.number("lip_arc_fraction", "Angle covered as seen from the centre of the outline, over a full turn.", () =>
    arcFraction(c, closed),
  );
  if (closed)
    c.sheet.number("lip_width_ratio", `Area of the lip over the length of its middle line${withD(c)}.`, () => {
      const zone = needZone(c);
      const { share, meanRadius } = angularCover(zone.points, at(needCentre(c)), true);
      const middleLine = 2 * Math.PI * share * meanRadius;
      if (!(middleLine > 0)) throw new MeasureError("degenerate-geometry", "The lip is too small to be read.");
      return inDiameters(c, scaled(zone.area, 1 / middleLine));
    });
}

/** Particle: equivalent diameter and distance from the axis. */
export function measureParticle(c: MarkCase): void {
  c.sheet.number("size_over_D", `Diameter of the circle of equal area${withD(c)}.`, () =>
    inDiameters(c, equivalentDiameter(needZone(c).area)),
  );
  c.sheet.number("r_over_R", `Distance of its middle from the axis, over R${withD(c)}.`, () =>
    inRadii(c, distanceFromAxis(c, needZone(c).centre)),
  );
}

/** The point a start mark stands for: the click, or halfway along the arc. */
function originPoint(c: MarkCase): PlacedPoint {
  const points = pointList(c.geometry);
  return placed(`${c.mark.id}.0`, points.length > 1 ? halfWay(points) : (points[0] ?? [0, 0]), c.placingPx);
}

/**
 * Clock position of a point on a face, 12 up in the photograph as it is turned for display, clockwise, looking at the face.
 *
 * The two faces look at each other, so a place at 3 on one face lies against 9 on the other when both are shown upright.
 *
 * @returns hours, above 0 to 12.
 * @throws MeasureError `degenerate-geometry` at the centre, where the clock has no meaning.
 */
export function clockPosition(c: MarkCase, point: PlacedPoint): Quantity {
  const v = between(needCentre(c), point);
  const fromCentre = Math.hypot(v.x.value, v.y.value);
  if (fromCentre <= 2 * Math.max(standardUncertainty(v.x), standardUncertainty(v.y)))
    throw new MeasureError("degenerate-geometry", "It lies at the centre, where a clock position has no meaning.");
  const hours = scaled(directionDeg(v.x, v.y), 1 / 30);
  const turned = (((hours.value + (c.photograph.turnDeg + 90) / 30) % 12) + 12) % 12;
  return { value: turned === 0 ? 12 : turned, shares: hours.shares };
}

/** Start of fracture: distance from the axis, clock position, number. */
export function measureOrigin(c: MarkCase): void {
  c.sheet.number("r_over_R", `Distance from the centre of the outline, over R${withD(c)}.`, () =>
    inRadii(c, distance(needCentre(c), originPoint(c))),
  );
  c.sheet.number("clock", "12 is up in the photograph as shown, clockwise, looking at the face.", () =>
    clockPosition(c, originPoint(c)),
  );
  countMarks(c, "Starts");
}

/** Arrest lines: number and mean spacing. */
export function measureBeachMarks(c: MarkCase): void {
  countMarks(c, "Arrest lines");
  const { scale } = c.photograph;
  c.sheet.number(
    "spacing_um",
    "Distance between the middles of the two outermost lines, over the number of gaps.",
    () => {
      const middles = c.group.flatMap((mark) => {
        const points = mark.geometry === null ? [] : pointList(mark.geometry);
        return points.length > 1 ? [placed(`${mark.id}.middle`, halfWay(points), c.placingPx)] : [];
      });
      if (middles.length < 2) throw new MeasureError("too-few", "Mark at least two arrest lines to get a spacing.");
      const widest = middles
        .flatMap((p, i) => middles.slice(i + 1).map((q) => distance(p, q)))
        .reduce((a, b) => (b.value > a.value ? b : a));
      const mm = lengthInMm(scaled(widest, 1 / (middles.length - 1)), c.photograph);
      if (mm === null)
        throw new MeasureError("scale-missing", "This photograph has no scale. Set the scale to get a spacing.");
      return scaled(mm, 1000);
    },
    scale === null ? {} : { scale: describeScale(scale), uStated: uncertaintyStated(scale) },
  );
}

/** Further from the start than this counts as opposite, degrees. @source common practice, no source */
const OPPOSITE_FROM_DEG = 120;

/** Final zone: share of the section, and whether it lies across from the start marked on the same photograph. */
export function measureFinalZone(c: MarkCase): void {
  measureAreaFraction(c);
  const origins = c.on.end.marks.filter(
    (m) => m.feature === "origin" && m.state === "present" && m.photographId === c.photograph.id && m.geometry !== null,
  );
  const [origin] = origins;
  const { centre } = c.frame;
  if (origins.length !== 1 || origin?.geometry == null || centre === null) return;
  const zone = tryZone(c);
  if (zone === null) return;
  const points = pointList(origin.geometry);
  const [ox, oy] = points.length > 1 ? halfWay(points) : (points[0] ?? at(centre));
  const [cx, cy] = at(centre);
  const [zx, zy] = at(zone.centre);
  const [ax, ay, bx, by] = [ox - cx, oy - cy, zx - cx, zy - cy];
  const near = Math.min(Math.hypot(ax, ay), Math.hypot(bx, by)) <= 2 * c.placingPx;
  const apart = Math.abs(Math.atan2(ax * by - ay * bx, ax * bx + ay * by)) * (180 / Math.PI);
  c.sheet.word(
    "opposite_origin",
    `The middle of the zone lies more than ${OPPOSITE_FROM_DEG}° round the face from the start.`,
    near ? null : apart >= OPPOSITE_FROM_DEG,
  );
}

function tryZone(c: MarkCase): Zone | null {
  try {
    return needZone(c);
  } catch (error) {
    if (error instanceof MeasureError) return null;
    throw error;
  }
}

/** Swirl: share of the section and distance of its centre from the axis. */
export function measureSwirl(c: MarkCase): void {
  measureAreaFraction(c);
  c.sheet.number("center_r", `Distance of its middle from the centre of the outline, over R${withD(c)}.`, () =>
    inRadii(c, distance(needCentre(c), needZone(c).centre)),
  );
}

/** How deep a closed mark at the rim reaches in from the outline, over D (end-on view). */
export function rimDepth(c: MarkCase): Quantity {
  const centre = needCentre(c);
  const zone = needZone(c);
  const from = at(centre);
  const nearest = zone.points.reduce((a, b) =>
    Math.hypot(b[0] - from[0], b[1] - from[1]) < Math.hypot(a[0] - from[0], a[1] - from[1]) ? b : a,
  );
  const inner = distance(centre, placed(`${c.mark.id}.inner`, nearest, c.placingPx));
  const depth = minus(scaled(needDiameter(c), 0.5), inner);
  if (!(depth.value > 0))
    throw new MeasureError("degenerate-geometry", "The mark lies outside the outline of the wire. Check both.");
  return over(depth, needDiameter(c));
}

/** A split seen end-on: whether it passes through the axis (within a tenth of R). @source common practice, no source */
export function passesThroughAxis(c: MarkCase): boolean | null {
  const { centre, diameterPx } = c.frame;
  if (centre === null || diameterPx === null || c.geometry.type === "angle") return null;
  const points = pointList(c.geometry);
  const [cx, cy] = at(centre);
  let nearest = Infinity;
  points.slice(1).forEach((q, i) => {
    const p = points[i] ?? q;
    const [dx, dy] = [q[0] - p[0], q[1] - p[1]];
    const square = dx * dx + dy * dy;
    const t = square === 0 ? 0 : Math.min(1, Math.max(0, ((cx - p[0]) * dx + (cy - p[1]) * dy) / square));
    nearest = Math.min(nearest, Math.hypot(p[0] + t * dx - cx, p[1] + t * dy - cy));
  });
  return nearest === Infinity ? null : nearest <= 0.05 * diameterPx.value;
}
