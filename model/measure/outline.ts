import type { Geometry, Point } from "../break/geometry.ts";
import { inverse, multiply, realCubicRoots, transpose } from "./linear-solve.ts";
import { MeasureError } from "./measure-error.ts";
import type { Uncertain } from "./uncertain.ts";
import { radToDeg } from "./units.ts";

export type EllipseGeometry = Extract<Geometry, { type: "ellipse" }>;

/** An outline fitted through clicked points. All lengths in px. */
export interface FittedOutline {
  readonly ellipse: EllipseGeometry;
  /** Root mean square distance of the points from the outline, px. */
  readonly residualPx: number;
  /** Standard uncertainties from residual and placing: centre, half axes (px), angle (degrees, at most 52 = unknown). */
  readonly u: {
    readonly cx: number;
    readonly cy: number;
    readonly rx: number;
    readonly ry: number;
    readonly angleDeg: number;
  };
  /** Diameter of the circle of equal area, px. */
  readonly diameterPx: Uncertain;
}

type Parameters = readonly number[];
const FEWEST_ELLIPSE = 5;
const FEWEST_CIRCLE = 3;
const tooFew = (n: number) => new MeasureError("too-few", `Click at least ${n} points around the outline.`);
const noEllipse = () =>
  new MeasureError("degenerate-geometry", "No closed outline passes these points. Spread them around the rim.");

/**
 * Ellipse through five or more points by least squares.
 *
 * Starts from the direct fit, which always gives an ellipse, then shortens the distances of the points from the outline
 * (the direct fit alone makes short arcs too small).
 *
 * @param points – px. @param placingPx – standard uncertainty of one click; a larger residual takes its place.
 * @throws MeasureError `too-few`, `degenerate-geometry`.
 * @source A. Fitzgibbon, M. Pilu, R. B. Fisher, "Direct least square fitting of ellipses", IEEE PAMI 21 (1999) 476–480;
 *   R. Halíř, J. Flusser, "Numerically stable direct least squares fitting of ellipses", WSCG 1998; both from memory.
 */
export function fitEllipse(points: readonly Point[], placingPx: number): FittedOutline {
  if (points.length < FEWEST_ELLIPSE) throw tooFew(FEWEST_ELLIPSE);
  const { centre, size, normal } = normalise(points);
  const start = directFit(normal);
  if (start === null) throw noEllipse();
  const best = refine(start, (p) => normal.map((point) => ellipseDistance(p, point)));
  const [x = 0, y = 0, a = 0, b = 0, angle = 0] = best.parameters;
  if (!(a > 0) || !(b > 0) || ![x, y, a, b, angle].every(Number.isFinite)) throw noEllipse();
  const { residual, covariance } = spread(best, points.length, FEWEST_ELLIPSE, placingPx / size);
  const u = (i: number) => Math.sqrt(Math.max(0, covariance[i]?.[i] ?? 0));
  const between = covariance[2]?.[3] ?? 0;
  const diameter = 2 * Math.sqrt(a * b);
  const uDiameter = Math.sqrt(Math.max(0, (b / a) * u(2) ** 2 + (a / b) * u(3) ** 2 + 2 * between));
  return {
    ellipse: {
      type: "ellipse",
      cx: centre[0] + x * size,
      cy: centre[1] + y * size,
      rx: a * size,
      ry: b * size,
      angle_deg: halfTurn(radToDeg(angle)),
    },
    residualPx: residual * size,
    u: {
      cx: u(0) * size,
      cy: u(1) * size,
      rx: u(2) * size,
      ry: u(3) * size,
      angleDeg: Math.min(radToDeg(u(4)), UNKNOWN_ANGLE_DEG),
    },
    diameterPx: { value: diameter * size, u: uDiameter * size },
  };
}

/**
 * Circle through three or more points by least squares of the distances.
 *
 * @throws MeasureError `too-few`, `degenerate-geometry` (points on one line).
 * @source start: I. Kåsa, "A circle fitting procedure and its error analysis", IEEE Trans. Instrum. Meas. 25 (1976); from memory.
 */
export function fitCircle(points: readonly Point[], placingPx: number): FittedOutline {
  if (points.length < FEWEST_CIRCLE) throw tooFew(FEWEST_CIRCLE);
  const { centre, size, normal } = normalise(points);
  const rows = normal.map(([x, y]) => [x, y, 1]);
  const solve = inverse(multiply(transpose(rows), rows));
  if (solve === null) throw noEllipse();
  const right = multiply(
    transpose(rows),
    normal.map(([x, y]) => [x * x + y * y]),
  );
  const [[p = 0] = [], [q = 0] = [], [s = 0] = []] = multiply(solve, right);
  const best = refine([p / 2, q / 2, Math.sqrt(s + (p * p + q * q) / 4)], ([x = 0, y = 0, r = 0]) =>
    normal.map((point) => Math.hypot(point[0] - x, point[1] - y) - r),
  );
  const [x = 0, y = 0, r = 0] = best.parameters;
  if (!(r > 0) || ![x, y, r].every(Number.isFinite)) throw noEllipse();
  const { residual, covariance } = spread(best, points.length, FEWEST_CIRCLE, placingPx / size);
  const u = (i: number) => Math.sqrt(Math.max(0, covariance[i]?.[i] ?? 0)) * size;
  return {
    ellipse: {
      type: "ellipse",
      cx: centre[0] + x * size,
      cy: centre[1] + y * size,
      rx: r * size,
      ry: r * size,
      angle_deg: 0,
    },
    residualPx: residual * size,
    u: { cx: u(0), cy: u(1), rx: u(2), ry: u(2), angleDeg: UNKNOWN_ANGLE_DEG },
    diameterPx: { value: 2 * r * size, u: 2 * u(2) },
  };
}

/** Standard deviation of an angle that may be anything within half a turn: 180°/√12. */
const UNKNOWN_ANGLE_DEG = 180 / Math.sqrt(12);

const halfTurn = (deg: number) => ((deg % 180) + 180) % 180;

/** Points moved to their mean and divided by their spread, so that the fit does not depend on picture size. */
function normalise(points: readonly Point[]): { centre: Point; size: number; normal: Point[] } {
  const n = points.length;
  const centre: Point = [points.reduce((s, p) => s + p[0], 0) / n, points.reduce((s, p) => s + p[1], 0) / n];
  const size = Math.sqrt(points.reduce((s, p) => s + (p[0] - centre[0]) ** 2 + (p[1] - centre[1]) ** 2, 0) / n);
  if (!(size > 0) || !Number.isFinite(size)) throw noEllipse();
  return { centre, size, normal: points.map((p): Point => [(p[0] - centre[0]) / size, (p[1] - centre[1]) / size]) };
}

/** Direct fit in the split form of Halíř and Flusser. @returns cx, cy, rx, ry, angle in radians. */
function directFit(points: readonly Point[]): Parameters | null {
  const quadratic = points.map(([x, y]) => [x * x, x * y, y * y]);
  const straight = points.map(([x, y]) => [x, y, 1]);
  const s1 = multiply(transpose(quadratic), quadratic);
  const s2 = multiply(transpose(quadratic), straight);
  const s3 = inverse(multiply(transpose(straight), straight));
  if (s3 === null) return null;
  const t = multiply(s3, transpose(s2)).map((row) => row.map((v) => -v));
  const reduced = multiply(s2, t).map((row, i) => row.map((v, j) => v + (s1[i]?.[j] ?? 0)));
  const [r0 = [], r1 = [], r2 = []] = reduced;
  const m = [r2.map((v) => v / 2), r1.map((v) => -v), r0.map((v) => v / 2)];
  for (const conic of eigenvectors(m)) {
    const [a = 0, b = 0, c = 0] = conic;
    if (4 * a * c - b * b <= 0) continue;
    const [[d = 0] = [], [e = 0] = [], [f = 0] = []] = multiply(
      t,
      conic.map((v) => [v]),
    );
    const ellipse = ellipseOfConic(a, b, c, d, e, f);
    if (ellipse.every(Number.isFinite)) return ellipse;
  }
  return null;
}

function eigenvectors(m: readonly (readonly number[])[]): number[][] {
  const [[a = 0, b = 0, c = 0] = [], [d = 0, e = 0, f = 0] = [], [g = 0, h = 0, i = 0] = []] = m;
  const trace = a + e + i;
  const minors = a * e - b * d + (a * i - c * g) + (e * i - f * h);
  const determinant = a * (e * i - f * h) - b * (d * i - f * g) + c * (d * h - e * g);
  return realCubicRoots(-trace, minors, -determinant).map((root) => {
    const rows = [
      [a - root, b, c],
      [d, e - root, f],
      [g, h, i - root],
    ];
    const candidates = [cross(rows[0], rows[1]), cross(rows[1], rows[2]), cross(rows[2], rows[0])];
    return candidates.reduce((best, v) => (Math.hypot(...v) > Math.hypot(...best) ? v : best));
  });
}

const cross = ([a = 0, b = 0, c = 0]: readonly number[] = [], [d = 0, e = 0, f = 0]: readonly number[] = []) => [
  b * f - c * e,
  c * d - a * f,
  a * e - b * d,
];

function ellipseOfConic(a: number, b: number, c: number, d: number, e: number, f: number): Parameters {
  const k = b * b - 4 * a * c;
  const cx = (2 * c * d - b * e) / k;
  const cy = (2 * a * e - b * d) / k;
  const middle = a * cx * cx + b * cx * cy + c * cy * cy + d * cx + e * cy + f;
  const root = Math.hypot(a - c, b);
  const along = (-2 * middle) / (a + c - root);
  const across = (-2 * middle) / (a + c + root);
  const [large, small] = along > across ? [along, across] : [across, along];
  const angle = 0.5 * Math.atan2(b, a - c) + (a + c > 0 === along > across ? Math.PI / 2 : 0);
  return [cx, cy, Math.sqrt(large), Math.sqrt(small), angle];
}

/** Distance of a point from an ellipse to first order, signed, positive outside. */
function ellipseDistance([cx = 0, cy = 0, rx = 0, ry = 0, angle = 0]: Parameters, [x, y]: Point): number {
  const [cos, sin] = [Math.cos(angle), Math.sin(angle)];
  const u = ((x - cx) * cos + (y - cy) * sin) / rx;
  const v = (-(x - cx) * sin + (y - cy) * cos) / ry;
  const slope = Math.hypot(u / rx, v / ry);
  return slope === 0 ? -Math.min(rx, ry) : (u * u + v * v - 1) / (2 * slope);
}

interface Refined {
  readonly parameters: Parameters;
  readonly residuals: readonly number[];
  readonly normal: number[][];
}

/** Gauss–Newton steps that are kept only while they shorten the distances. */
function refine(start: Parameters, distances: (p: Parameters) => readonly number[]): Refined {
  let parameters = start;
  let residuals = distances(parameters);
  for (let step = 0; step < 20; step++) {
    const jacobian = slopes(parameters, distances);
    const solve = inverse(normalMatrix(jacobian));
    if (solve === null) break;
    const change = multiply(
      solve,
      multiply(
        transpose(jacobian),
        residuals.map((r) => [r]),
      ),
    );
    const next = parameters.map((p, i) => p - (change[i]?.[0] ?? 0));
    const after = distances(next);
    if (!(squares(after) < squares(residuals))) break;
    parameters = next;
    residuals = after;
  }
  return { parameters, residuals, normal: normalMatrix(slopes(parameters, distances)) };
}

/** A whisker on the diagonal keeps the angle of a circle, which nothing fixes, from making the matrix singular. */
function normalMatrix(jacobian: number[][]): number[][] {
  return multiply(transpose(jacobian), jacobian).map((row, i) => row.map((v, j) => (i === j ? v + 1e-9 : v)));
}

const squares = (values: readonly number[]) => values.reduce((sum, v) => sum + v * v, 0);

function slopes(parameters: Parameters, distances: (p: Parameters) => readonly number[]): number[][] {
  const h = 1e-6;
  return transpose(
    parameters.map((_, i) => {
      const up = distances(parameters.map((p, j) => (j === i ? p + h : p)));
      const down = distances(parameters.map((p, j) => (j === i ? p - h : p)));
      return up.map((v, k) => (v - (down[k] ?? 0)) / (2 * h));
    }),
  );
}

function spread(
  fit: Refined,
  points: number,
  free: number,
  placing: number,
): { residual: number; covariance: number[][] } {
  const sum = squares(fit.residuals);
  const variance = Math.max(placing * placing, points > free ? sum / (points - free) : 0);
  const covariance = (inverse(fit.normal) ?? []).map((row) => row.map((v) => v * variance));
  return { residual: Math.sqrt(sum / points), covariance };
}
