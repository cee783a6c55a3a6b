import type { Point } from "../../break/geometry.ts";
import { inverse, realCubicRoots } from "../../measure/linear-solve.ts";
import type { EllipseGeometry } from "../../measure/outline.ts";

/**
 * Direct, weighted least-squares ellipse: one small eigenvalue problem, no steps. Fast enough to be tried hundreds of
 * times; short arcs come out a little small, so the last word has a fit of the distances.
 *
 * @param weights – one per point, not negative; left out = all alike.
 * @returns null when the points fix no ellipse.
 * @source R. Halíř, J. Flusser, "Numerically stable direct least squares fitting of ellipses", WSCG 1998; from memory.
 */
export function conicEllipse(points: readonly Point[], weights?: readonly number[]): EllipseGeometry | null {
  let [total, mx, my] = [0, 0, 0];
  points.forEach(([x, y], i) => {
    const w = weights === undefined ? 1 : weights[i]!;
    total += w;
    mx += w * x;
    my += w * y;
  });
  if (!(total > 0)) return null;
  mx /= total;
  my /= total;
  let spread = 0;
  points.forEach(([x, y], i) => {
    spread += (weights === undefined ? 1 : weights[i]!) * ((x - mx) ** 2 + (y - my) ** 2);
  });
  const size = Math.sqrt(spread / total);
  if (!(size > 0) || !Number.isFinite(size)) return null;
  // Sums of the products of (x², xy, y², x, y, 1): upper triangle of the scatter matrix.
  const s = Array.from({ length: 6 }, () => new Array<number>(6).fill(0));
  const row = new Float64Array(6);
  points.forEach(([px, py], i) => {
    const w = weights === undefined ? 1 : weights[i]!;
    if (w === 0) return;
    const x = (px - mx) / size;
    const y = (py - my) / size;
    row.set([x * x, x * y, y * y, x, y, 1]);
    for (let j = 0; j < 6; j++) for (let k = j; k < 6; k++) s[j]![k]! += w * row[j]! * row[k]!;
  });
  const at = (j: number, k: number): number => (j <= k ? s[j]![k]! : s[k]![j]!);
  const s3 = inverse([0, 1, 2].map((j) => [0, 1, 2].map((k) => at(3 + j, 3 + k))));
  if (s3 === null) return null;
  // t = −S3⁻¹ S2ᵀ
  const t = [0, 1, 2].map((j) =>
    [0, 1, 2].map((k) => -[0, 1, 2].reduce((sum, l) => sum + s3[j]![l]! * at(k, 3 + l), 0)),
  );
  const reduced = [0, 1, 2].map((j) =>
    [0, 1, 2].map((k) => at(j, k) + [0, 1, 2].reduce((sum, l) => sum + at(j, 3 + l) * t[l]![k]!, 0)),
  );
  const m = [reduced[2]!.map((v) => v / 2), reduced[1]!.map((v) => -v), reduced[0]!.map((v) => v / 2)];
  const conic = ellipticVector(m);
  if (conic === null) return null;
  const straight = t.map((r) => r[0]! * conic[0] + r[1]! * conic[1] + r[2]! * conic[2]);
  return ellipseOf(conic, straight, mx, my, size);
}

type Three = readonly [number, number, number];

function ellipticVector(m: readonly (readonly number[])[]): Three | null {
  const [[a = 0, b = 0, c = 0] = [], [d = 0, e = 0, f = 0] = [], [g = 0, h = 0, i = 0] = []] = m;
  const trace = a + e + i;
  const minors = a * e - b * d + (a * i - c * g) + (e * i - f * h);
  const determinant = a * (e * i - f * h) - b * (d * i - f * g) + c * (d * h - e * g);
  let best: Three | null = null;
  let most = 0;
  for (const root of realCubicRoots(-trace, minors, -determinant)) {
    const rows: readonly Three[] = [
      [a - root, b, c],
      [d, e - root, f],
      [g, h, i - root],
    ];
    for (const [j, k] of [
      [0, 1],
      [1, 2],
      [2, 0],
    ] as const) {
      const v = cross(rows[j]!, rows[k]!);
      const length = Math.hypot(...v);
      if (length === 0) continue;
      const disc = (4 * v[0] * v[2] - v[1] * v[1]) / (length * length);
      // Only one of the three is an ellipse; of its three crosses the longest is the truest.
      if (disc > 1e-9 && length > most) {
        most = length;
        best = [v[0] / length, v[1] / length, v[2] / length];
      }
    }
  }
  return best;
}

const cross = ([a, b, c]: Three, [d, e, f]: Three): Three => [b * f - c * e, c * d - a * f, a * e - b * d];

function ellipseOf(
  [a, b, c]: Three,
  straight: readonly number[],
  mx: number,
  my: number,
  size: number,
): EllipseGeometry | null {
  const [d = 0, e = 0, f = 0] = straight;
  const k = b * b - 4 * a * c;
  const cx = (2 * c * d - b * e) / k;
  const cy = (2 * a * e - b * d) / k;
  const middle = a * cx * cx + b * cx * cy + c * cy * cy + d * cx + e * cy + f;
  const root = Math.hypot(a - c, b);
  const one = (-2 * middle) / (a + c - root);
  const two = (-2 * middle) / (a + c + root);
  if (!(one > 0) || !(two > 0) || !Number.isFinite(one + two + cx + cy)) return null;
  const quarter = a + c > 0 === one > two ? 90 : 0;
  const deg = (Math.atan2(b, a - c) * 90) / Math.PI + quarter;
  return {
    type: "ellipse",
    cx: mx + cx * size,
    cy: my + cy * size,
    rx: Math.sqrt(Math.max(one, two)) * size,
    ry: Math.sqrt(Math.min(one, two)) * size,
    angle_deg: ((deg % 180) + 180) % 180,
  };
}
