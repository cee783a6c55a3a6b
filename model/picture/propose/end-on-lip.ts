import type { Point } from "../../break/geometry.ts";
import type { EllipseGeometry } from "../../measure/outline.ts";
import type { Band } from "./band-edges.ts";
import { radiusAt, unrollBand } from "./band-edges.ts";
import type { ColourPlanes } from "./colour-planes.ts";
import { conicEllipse } from "../pixels/conic-ellipse.ts";
import { offEllipse } from "../pixels/robust-ellipse.ts";
import { traceRing } from "./ring-trace.ts";

/** The line inside which the face is rough, outside which it slants and shines: inner edge of a shear lip. */
export interface FoundLip {
  /** In px of the fine copy; the last point is the first again. */
  readonly line: readonly Point[];
  /** Mean radius / wire radius. */
  readonly radius: number;
  /** Share of the rays on which it gets brighter outward. */
  readonly covered: number;
  /** Mean step / brightness there. */
  readonly step: number;
  /** Root mean square distance from the ellipse nearest to it / mean radius. */
  readonly uneven: number;
  /** 0–1, larger = surer. */
  readonly worth: number;
}

const RAYS = 120;
const [INNER, OUTER] = [0.15, 0.96];
/** Rings further out are the rim of the break itself. */
const WIDEST = 0.82;

/**
 * The innermost closed ring on the face where it gets brighter outward all round.
 *
 * @param outline – sound wire, in px of the fine copy.
 * @returns the ring with its worth, however little; null when there is none.
 */
export function findLip(fine: ColourPlanes, outline: EllipseGeometry): FoundLip | null {
  const band = unrollBand(fine, outline, INNER, OUTER, RAYS, 4);
  const span = Math.max(2, Math.round((0.045 * (band.steps * band.perStep)) / (OUTER - INNER) / band.perStep));
  const found: FoundLip[] = [];
  let limit = band.steps;
  for (let level = 0; level < 3 && limit > 4 * span; level++) {
    const { gain, grey } = outwardSteps(band, span, limit);
    const line = traceRing(gain, RAYS, band.steps, 0.003);
    found.push(lipOf(band, line, gain, grey));
    limit = Math.min(...line) - span;
  }
  const good = found.filter((f) => f.radius <= WIDEST && f.radius > INNER + 0.06);
  const best = Math.max(0, ...good.map((f) => f.worth));
  // Rings that are about as clear: the inner edge is the innermost of them.
  const clear = good.filter((f) => f.worth >= 0.75 * best).sort((a, b) => a.radius - b.radius);
  return clear[0] ?? null;
}

/** Mean grey of the next `span` steps less that of the last; nothing at and beyond `limit`. */
function outwardSteps(
  { rays, steps, colour: [red, green, blue] }: Band,
  span: number,
  limit: number,
): { gain: Float32Array; grey: Float32Array } {
  const gain = new Float32Array(rays * steps).fill(-1);
  const grey = new Float32Array(rays * steps);
  for (let i = 0; i < grey.length; i++) grey[i] = (red[i]! + 2 * green[i]! + blue[i]!) / 4;
  for (let k = 0; k < rays; k++)
    for (let s = span; s <= Math.min(limit, steps - span); s++) {
      let difference = 0;
      for (let i = 0; i < span; i++) difference += grey[k * steps + s + i]! - grey[k * steps + s - 1 - i]!;
      gain[k * steps + s] = Number.isNaN(difference) ? -1 : difference / span;
    }
  return { gain, grey };
}

function lipOf(
  { ellipse, from, perStep, steps }: Band,
  line: Int32Array,
  gain: Float32Array,
  grey: Float32Array,
): FoundLip {
  let [on, sum, radius] = [0, 0, 0];
  const points: Point[] = [];
  for (let k = 0; k < RAYS; k++) {
    const at = k * steps + line[k]!;
    const step = gain[at]! / Math.max(0.03, grey[at]!);
    if (step > 0.06) on++;
    sum += Math.max(-0.5, Math.min(0.5, step));
    const rho = from + (line[k]! - 0.5) * perStep;
    radius += rho / RAYS;
    const angle = (2 * Math.PI * k) / RAYS;
    const r = radiusAt(ellipse, angle) * rho;
    points.push([ellipse.cx + r * Math.cos(angle), ellipse.cy + r * Math.sin(angle)]);
  }
  const covered = on / RAYS;
  const step = sum / RAYS;
  const own = conicEllipse(points);
  const off = own === null || own.ry < 0.8 * own.rx ? null : points.map((p) => offEllipse(own, p));
  const size = Math.sqrt(ellipse.rx * ellipse.ry) * radius;
  const uneven = off === null ? 1 : Math.sqrt(off.reduce((s, d) => s + d * d, 0) / off.length) / size;
  const ramp = (v: number, none: number, full: number): number => Math.min(1, Math.max(0, (v - none) / (full - none)));
  // A stronger step is a hole, a particle or the rim over the wire behind it; a truer circle is a rim that a die made.
  const worth =
    ramp(covered, 0.88, 0.96) *
    ramp(step, 0.09, 0.16) *
    ramp(step, 0.42, 0.37) *
    ramp(uneven, 0.05, 0.03) *
    ramp(uneven, 0.006, 0.01);
  return { line: [...points, points[0]!], radius, covered, step, uneven, worth };
}
