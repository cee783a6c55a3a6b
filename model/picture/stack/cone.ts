import { inverse } from "../../measure/linear-solve.ts";
import { MeasureError } from "../../measure/measure-error.ts";
import { combine, linear, reading, standardUncertainty } from "../../measure/uncertain.ts";
import type { Quantity } from "../../measure/uncertain.ts";
import { radToDeg } from "../../measure/units.ts";
import type { HeightMap } from "./height-map.ts";
import { CELLS_PER_READING, heightQuantity } from "./level.ts";
import type { HeightCell, Zone } from "./zone.ts";
import { cellsIn } from "./zone.ts";

export interface ConeFit {
  /** Angle of the flank to the axis, degrees. */
  readonly flankDeg: Quantity;
  /** From the tip to the level of the edge of the area, µm, not signed. */
  readonly heightUm: Quantity;
  /** The tip stands toward the lens (a cone) or lies away from it (a cup). */
  readonly stands: boolean;
  /** Place of the tip, px of the photograph. */
  readonly apex: readonly [number, number];
  /** Scatter of the heights round the cone, µm. */
  readonly scatterUm: number;
  /** Tilt of the cone's axis against the line of sight, degrees. */
  readonly tiltDeg: number;
  readonly cells: number;
}

const FEWEST_CELLS = 60;
const ROUNDS = 30;
const SECTORS = 8;
/** Less of a flank than this many standard uncertainties is no cone but a level face. */
const LEAST_SLOPE_U = 4;
/** A flatter flank is not told from a level, slightly domed face. @source common practice, no source */
const FLATTEST_DEG = 80;

/**
 * Fits a cone to the heights of an area: z = z₀ + m·ρ + a·x + b·y with ρ the distance from the tip, by least squares
 * with Tukey's weights, so that a torn rim or a blunt tip does not draw the flank away. a and b take up a tilt of the
 * wire on the stage.
 *
 * The flank's angle is that between flank and axis, atan(1/|m|) with m in µm per µm. Its uncertainty has as sources the
 * heights (from the scatter round the cone and from how much eight sectors of it differ), the focus step, the scale of
 * the photograph and the change of magnification over the series.
 *
 * @param scale – px per mm, with its sources.
 * @param breathing – largest change of magnification against the reference frame over the series, as a share.
 * @throws MeasureError too-few, degenerate-geometry (a level face).
 */
export function fitCone(map: HeightMap, photographId: string, zone: Zone, scale: Quantity, breathing: number): ConeFit {
  const cells = cellsIn(map, zone);
  if (cells.length < FEWEST_CELLS)
    throw new MeasureError("too-few", "Too few places with a height lie there. Pick a larger area.");
  const spots = { x: mean(cells, (c) => c.x), y: mean(cells, (c) => c.y) };
  const reach = Math.max(...cells.map((c) => Math.hypot(c.x - spots.x, c.y - spots.y)));
  const fit = solve(cells, [0, 0, ...startingCone(cells, spots, reach), 0, 0], spots, reach);
  const slopeUm = fit.p[3] / reach;
  const weightSum = fit.weights.reduce((a, b) => a + b, 0);
  const scatterUm = Math.sqrt(fit.weights.reduce((s, w, i) => s + w * fit.left[i]! ** 2, 0) / weightSum);
  const random = (Math.sqrt(fit.covariance[3]?.[3] ?? 0) * scatterUm * Math.sqrt(CELLS_PER_READING)) / reach;
  const bySector = sectorSlopes(cells, fit.weights, fit.p, spots, reach).map((s) => s / reach);
  const average = bySector.reduce((a, b) => a + b, 0) / Math.max(1, bySector.length);
  const differing =
    bySector.length < 3
      ? 0
      : Math.sqrt(bySector.reduce((s, v) => s + (v - average) ** 2, 0) / (bySector.length - 1) / bySector.length);
  const uSlope = Math.max(random, differing);
  if (!(Math.abs(slopeUm) > LEAST_SLOPE_U * uSlope))
    throw new MeasureError("degenerate-geometry", "No flank is found there: the area is level or of another shape.");
  const magnification = reading(`focus-breathing:${photographId}`, 1, breathing / Math.sqrt(3));
  const slope = heightQuantity(map, photographId, "flank", Math.abs(slopeUm), uSlope);
  const flankDeg = combine([slope, scale, magnification], ([m = 0, perMm = 0, size = 1]) =>
    radToDeg(Math.atan(1000 / (m * perMm * size))),
  );
  if (flankDeg.value > FLATTEST_DEG)
    throw new MeasureError("degenerate-geometry", "No flank is found there: the area is level or of another shape.");
  const used = cells.filter((_, i) => fit.weights[i]! > 0);
  const edge = Math.max(
    ...used.map((c) => Math.hypot(c.x - spots.x - fit.p[0] * reach, c.y - spots.y - fit.p[1] * reach)),
  );
  const heightUm = linear(Math.abs(slopeUm) * edge, [[slope, edge]]);
  const perPx = scale.value / 1000;
  return {
    flankDeg,
    heightUm,
    stands: slopeUm < 0,
    apex: [spots.x + fit.p[0] * reach, spots.y + fit.p[1] * reach],
    scatterUm,
    tiltDeg: radToDeg(Math.atan((Math.hypot(fit.p[4], fit.p[5]) / reach) * perPx)),
    cells: used.length,
  };
}

/** Included angle of a cone, degrees. */
export const includedDeg = (flankDeg: Quantity): Quantity => linear(2 * flankDeg.value, [[flankDeg, 2]]);

/** True when a value lies within two standard uncertainties of another. */
export const agrees = (q: Quantity, value: number): boolean => Math.abs(q.value - value) <= 2 * standardUncertainty(q);

const mean = (cells: readonly HeightCell[], of: (c: HeightCell) => number): number =>
  cells.reduce((sum, c) => sum + of(c), 0) / cells.length;

/** Tip x and y, height, slope, tilts; places in reaches from the middle of the area. */
type Cone = readonly [number, number, number, number, number, number];

/** Height and slope by a straight line of the height over the distance from the middle. */
function startingCone(cells: readonly HeightCell[], mid: { x: number; y: number }, reach: number): [number, number] {
  const r = (c: HeightCell) => Math.hypot(c.x - mid.x, c.y - mid.y) / reach;
  const [mr, mz] = [mean(cells, r), mean(cells, (c) => c.um)];
  const across = cells.reduce((s, c) => s + (r(c) - mr) * (c.um - mz), 0);
  const square = cells.reduce((s, c) => s + (r(c) - mr) ** 2, 0);
  const slope = square > 0 ? across / square : 0;
  return [mz - slope * mr, slope];
}

interface Solved {
  readonly p: Cone;
  readonly covariance: readonly (readonly number[])[];
  readonly weights: readonly number[];
  readonly left: readonly number[];
}

function solve(
  cells: readonly HeightCell[],
  start: readonly number[],
  mid: { x: number; y: number },
  reach: number,
): Solved {
  let p = start as Cone;
  let weights = cells.map(() => 1);
  let left: number[] = cells.map(() => 0);
  let covariance: number[][] = [];
  let damping = 1e-3;
  const model = ([x0, y0, z0, m, a, b]: Cone, x: number, y: number) =>
    z0 + m * Math.hypot(x - x0, y - y0) + a * x + b * y;
  const places = cells.map((c): [number, number] => [(c.x - mid.x) / reach, (c.y - mid.y) / reach]);
  const costOf = (q: Cone) =>
    places.reduce((s, [x, y], i) => s + weights[i]! * (cells[i]!.um - model(q, x, y)) ** 2, 0);
  for (let round = 0; round < ROUNDS; round++) {
    left = places.map(([x, y], i) => cells[i]!.um - model(p, x, y));
    if (round % 5 === 4) weights = tukey(left);
    const normal = Array.from({ length: 6 }, () => [0, 0, 0, 0, 0, 0]);
    const right = [0, 0, 0, 0, 0, 0];
    places.forEach(([x, y], i) => {
      const w = weights[i]!;
      if (w === 0) return;
      const [dx, dy] = [x - p[0], y - p[1]];
      const rho = Math.max(1e-6, Math.hypot(dx, dy));
      const row = [(-p[3] * dx) / rho, (-p[3] * dy) / rho, 1, rho, x, y];
      for (let k = 0; k < 6; k++) {
        right[k]! += w * row[k]! * left[i]!;
        for (let l = 0; l < 6; l++) normal[k]![l]! += w * row[k]! * row[l]!;
      }
    });
    const damped = normal.map((line, k) => line.map((v, l) => (k === l ? v * (1 + damping) + 1e-9 : v)));
    const inverted = inverse(damped);
    if (inverted === null) break;
    covariance = inverted;
    const step = inverted.map((line) => line.reduce((s, v, k) => s + v * right[k]!, 0));
    const next = p.map((v, k) => v + step[k]!) as unknown as Cone;
    if (costOf(next) <= costOf(p)) {
      p = next;
      damping = Math.max(1e-9, damping / 5);
    } else damping *= 8;
  }
  return { p, covariance, weights, left };
}

/** @source J. W. Tukey's biweight with the usual constant 4.685; from memory. */
function tukey(left: readonly number[]): number[] {
  const sorted = left.map(Math.abs).sort((a, b) => a - b);
  const spread = Math.max(1e-9, 1.4826 * sorted[sorted.length >> 1]!);
  return left.map((e) => {
    const t = e / (4.685 * spread);
    return Math.abs(t) >= 1 ? 0 : (1 - t * t) ** 2;
  });
}

/** Slope of the heights over the distance from the tip, sector by sector of the turn. */
function sectorSlopes(
  cells: readonly HeightCell[],
  weights: readonly number[],
  [x0, y0, , , a, b]: Cone,
  mid: { x: number; y: number },
  reach: number,
): number[] {
  const sums = Array.from({ length: SECTORS }, () => ({ w: 0, r: 0, z: 0, rr: 0, rz: 0, n: 0 }));
  cells.forEach((c, i) => {
    const [x, y] = [(c.x - mid.x) / reach, (c.y - mid.y) / reach];
    const [dx, dy] = [x - x0, y - y0];
    const turn = (Math.atan2(dy, dx) / (2 * Math.PI) + 1) % 1;
    const s = sums[Math.min(SECTORS - 1, Math.floor(turn * SECTORS))]!;
    const w = weights[i]!;
    const r = Math.hypot(dx, dy);
    const z = c.um - a * x - b * y;
    s.w += w;
    s.r += w * r;
    s.z += w * z;
    s.rr += w * r * r;
    s.rz += w * r * z;
    if (w > 0) s.n++;
  });
  return sums.flatMap(({ w, r, z, rr, rz, n }) => {
    const square = rr - (r * r) / w;
    return n >= 10 && square > 0 ? [(rz - (r * z) / w) / square] : [];
  });
}
