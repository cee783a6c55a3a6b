import type { Geometry, Point } from "../break/geometry.ts";
import type { End, Mark, Photograph, Scale } from "../break/wire-break.ts";
import type { MarkPlacing } from "./measure.ts";
import { calibrationSource, ownRelativeU, scaleFault } from "./scale.ts";
import { linear } from "./uncertain.ts";
import type { Quantity } from "./uncertain.ts";
import { degToRad, radToDeg } from "./units.ts";

/** A scale that is not the same along x and y. */
export type UnevenScale = Extract<Scale, { method: "profile" }> & { readonly pxPerMmY: object };

/** A scale whose ratio of x to y is tried a little larger, to see what that does to a measure. */
export interface StretchStep {
  readonly source: string;
  /** Factor on the ratio, close to 1. */
  readonly factor: number;
}

const isUneven = (scale: Scale | null): scale is UnevenScale =>
  scale?.method === "profile" && scale.pxPerMmY !== undefined && scaleFault(scale) === null;

/** The uneven scales on the photographs of an end, each calibration once. */
export function unevenScales(end: End): readonly UnevenScale[] {
  const found = new Map<string, UnevenScale>();
  for (const { scale } of end.photographs) if (isUneven(scale)) found.set(calibrationSource(scale), scale);
  return [...found.values()];
}

/** Factor on y that makes the pixels of a photograph square, as large as they are along x; 1 where they are square. */
function stretchOf(scale: Scale | null, step?: StretchStep): number {
  if (!isUneven(scale)) return 1;
  const ratio = scale.pxPerMm.value / scale.pxPerMmY.value;
  return step?.source === calibrationSource(scale) ? ratio * step.factor : ratio;
}

/** Where a mark lies, on photographs with square pixels: every measure is then the same in all directions. */
export function squarePlacing(on: MarkPlacing, step?: StretchStep): MarkPlacing {
  const photograph = on.photograph === null ? null : squarePhotograph(on.photograph, step);
  return { ...on, photograph, end: squareEnd(on.end, step) };
}

/** A mark in the square pixels of its photograph. */
export function squareMark(mark: Mark, end: End, step?: StretchStep): Mark {
  const scale = end.photographs.find((p) => p.id === mark.photographId)?.scale ?? null;
  const by = stretchOf(scale, step);
  return mark.geometry === null || by === 1 ? mark : { ...mark, geometry: stretched(mark.geometry, by) };
}

function squareEnd(end: End, step?: StretchStep): End {
  return {
    ...end,
    photographs: end.photographs.map((p) => squarePhotograph(p, step)),
    marks: end.marks.map((m) => squareMark(m, end, step)),
  };
}

function squarePhotograph(photograph: Photograph, step?: StretchStep): Photograph {
  const by = stretchOf(photograph.scale, step);
  if (by === 1) return photograph;
  const { axisDeg } = photograph;
  const turned = axisDeg === null ? null : radToDeg(Math.atan2(by * sin(axisDeg), cos(axisDeg)));
  return { ...photograph, axisDeg: turned };
}

const sin = (deg: number) => Math.sin(degToRad(deg));
const cos = (deg: number) => Math.cos(degToRad(deg));

/** A shape with y multiplied by a factor. An ellipse stays one, with other axes. */
export function stretched(geometry: Geometry, by: number): Geometry {
  if (geometry.type !== "ellipse") {
    const points = geometry.points.map(([x, y]): Point => [x, y * by]);
    return { ...geometry, points } as Geometry;
  }
  const { cx, cy, rx, ry, angle_deg } = geometry;
  const [ax, ay] = [rx * cos(angle_deg), by * rx * sin(angle_deg)];
  const [bx, by_] = [-ry * sin(angle_deg), by * ry * cos(angle_deg)];
  // The outer products of the conjugate half axes add up to the ellipse's matrix; its eigenvectors are the new axes.
  const [xx, xy, yy] = [ax * ax + bx * bx, ax * ay + bx * by_, ay * ay + by_ * by_];
  const middle = (xx + yy) / 2;
  const spread = Math.hypot((xx - yy) / 2, xy);
  const [large, small] = [Math.sqrt(middle + spread), Math.sqrt(Math.max(0, middle - spread))];
  const along = spread === 0 ? angle_deg : radToDeg(Math.atan2(2 * xy, xx - yy)) / 2;
  return rx >= ry
    ? { type: "ellipse", cx, cy: cy * by, rx: large, ry: small, angle_deg: along }
    : { type: "ellipse", cx, cy: cy * by, rx: small, ry: large, angle_deg: along + 90 };
}

/** Relative uncertainties of the two directions without the stage micrometer, which both share. */
function ownOf(scale: UnevenScale): { readonly x: number; readonly y: number } {
  const common = scale.calibration?.commonU ?? 0;
  return { x: ownRelativeU(scale.pxPerMm, common), y: ownRelativeU(scale.pxPerMmY, common) };
}

/** The step that shows how a measure hangs on the ratio of x to y: one standard uncertainty, or a thousandth. */
export function stretchStep(scale: UnevenScale): StretchStep {
  const { x, y } = ownOf(scale);
  return { source: calibrationSource(scale), factor: 1 + (Math.hypot(x, y) || 0.001) };
}

/**
 * What the ratio of x to y adds to a measure's uncertainty, by the readings it came from. The x readings also set the
 * millimetres; as both carry the same name, their effects add with their signs and a length along y ends with the y
 * readings alone.
 *
 * @param value, moved – the measure as it is, and after the step.
 * @param period – length of a round (clock), null for plain numbers.
 * @source JCGM 100:2008, 5.1.3 note 2 (numerical sensitivities) and 5.2.2 (correlated inputs); from memory.
 */
export function directionShares(
  scale: UnevenScale,
  step: StretchStep,
  value: number,
  moved: number,
  period: number | null = null,
): ReadonlyMap<string, number> {
  const change = moved - value;
  const near = period === null ? change : change - period * Math.round(change / period);
  const perRelative = near / Math.log(step.factor);
  const { x, y } = ownOf(scale);
  return new Map([
    [`${step.source}:x`, perRelative * x],
    [`${step.source}:y`, -perRelative * y],
  ]);
}

/** A quantity measured on an end, each length in the direction it lies in. @param measure – null = cannot be measured. */
export function withBothDirections(end: End, measure: (square: End) => Quantity | null): Quantity | null {
  const found = measure(squareEnd(end));
  if (found === null) return null;
  return unevenScales(end).reduce((q, scale) => {
    const step = stretchStep(scale);
    const moved = measure(squareEnd(end, step));
    if (moved === null) return q;
    const shares = directionShares(scale, step, found.value, moved.value);
    return linear(q.value, [
      [q, 1],
      [{ value: 0, shares }, 1],
    ]);
  }, found);
}
