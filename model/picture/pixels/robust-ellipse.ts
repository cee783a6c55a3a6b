import type { Point } from "../../break/geometry.ts";
import { inverse } from "../../measure/linear-solve.ts";
import type { EllipseGeometry } from "../../measure/outline.ts";
import { conicEllipse } from "./conic-ellipse.ts";

/** Distance of a point from an ellipse to first order, px, positive outside. */
export function offEllipse(e: EllipseGeometry, [x, y]: Point): number {
  const a = (e.angle_deg * Math.PI) / 180;
  const [cos, sin] = [Math.cos(a), Math.sin(a)];
  const u = ((x - e.cx) * cos + (y - e.cy) * sin) / e.rx;
  const v = (-(x - e.cx) * sin + (y - e.cy) * cos) / e.ry;
  const slope = Math.hypot(u / e.rx, v / e.ry);
  return slope === 0 ? -Math.min(e.rx, e.ry) : (u * u + v * v - 1) / (2 * slope);
}

export interface RobustEllipse {
  readonly ellipse: EllipseGeometry;
  /** Root mean square distance of the points that count, px. */
  readonly residualPx: number;
  /** Which points count, in the order given. */
  readonly inliers: readonly boolean[];
  readonly inlierShare: number;
}

/**
 * Ellipse through most of the points; the others are left out.
 *
 * Tries ellipses through a few of the points, keeps the one that most points lie on, then fits all of those by weighted
 * direct fits with weights that fall to nothing at three times `nearPx`. The tries are picked by a fixed sequence, so the
 * same points give the same ellipse.
 *
 * @param nearPx – distance at which a point still lies on the outline.
 * @param tries – how many small sets are tried; 0 starts from the fit through all points.
 * @returns null when fewer than six points count or no ellipse passes them.
 * @source M. A. Fischler, R. C. Bolles, "Random sample consensus", Comm. ACM 24 (1981) 381–395; J. W. Tukey's biweight:
 *   P. J. Huber, "Robust Statistics", Wiley 1981; both from memory.
 */
export function robustEllipse(points: readonly Point[], nearPx: number, tries: number): RobustEllipse | null {
  if (points.length < 6) return null;
  let best = conicEllipse(points);
  let bestCount = best === null ? -1 : support(best, points, nearPx);
  const pick = fixedSequence(points.length);
  for (let t = 0; t < tries; t++) {
    const chosen = Array.from({ length: 6 }, () => points[pick()]!);
    const candidate = conicEllipse(chosen);
    if (candidate === null || candidate.ry < candidate.rx / 4) continue;
    const count = support(candidate, points, nearPx);
    if (count > bestCount) {
      bestCount = count;
      best = candidate;
    }
  }
  for (let round = 0; round < 12 && best !== null; round++) {
    const now = best;
    const reach = nearPx * (round < 4 ? 6 - round : 3);
    const weights = points.map((p) => {
      const d = offEllipse(now, p) / reach;
      return Math.abs(d) < 1 ? (1 - d * d) ** 2 : 0;
    });
    const next = conicEllipse(points, weights);
    if (next === null) break;
    best = next;
  }
  if (best === null) return null;
  const polished = polish(best, points, 3 * nearPx);
  const off = points.map((p) => offEllipse(polished, p));
  const inliers = off.map((d) => Math.abs(d) < 3 * nearPx);
  const count = inliers.filter(Boolean).length;
  if (count < 6) return null;
  const squares = off.reduce((s, d, i) => (inliers[i] ? s + d * d : s), 0);
  return {
    ellipse: polished,
    residualPx: Math.sqrt(squares / count),
    inliers,
    inlierShare: count / points.length,
  };
}

/** Sum over the points of how well each lies on it, 0–1 each. */
function support(e: EllipseGeometry, points: readonly Point[], nearPx: number): number {
  let sum = 0;
  for (const p of points) {
    const d = offEllipse(e, p) / (2 * nearPx);
    if (Math.abs(d) < 1) sum += 1 - d * d;
  }
  return sum;
}

/** Gauss–Newton on the distances themselves (the direct fit makes arcs a little small), same falling weights. */
function polish(start: EllipseGeometry, points: readonly Point[], reachPx: number): EllipseGeometry {
  let e = start;
  for (let round = 0; round < 6; round++) {
    const scale = Math.max(e.rx, e.ry);
    const h = 1e-4 * scale;
    const moved = [
      { ...e, cx: e.cx + h },
      { ...e, cy: e.cy + h },
      { ...e, rx: e.rx + h },
      { ...e, ry: e.ry + h },
      { ...e, angle_deg: e.angle_deg + (h / scale) * (180 / Math.PI) },
    ];
    const normal = Array.from({ length: 5 }, () => new Array<number>(5).fill(0));
    const right = new Array<number>(5).fill(0);
    for (const p of points) {
      const d = offEllipse(e, p);
      const r = d / reachPx;
      if (!(Math.abs(r) < 1)) continue;
      const w = (1 - r * r) ** 2;
      const slopes = moved.map((m) => (offEllipse(m, p) - d) / h);
      for (let i = 0; i < 5; i++) {
        right[i]! += w * slopes[i]! * d;
        for (let j = 0; j < 5; j++) normal[i]![j]! += w * slopes[i]! * slopes[j]!;
      }
    }
    // A whisker on the diagonal: nothing fixes the angle of a circle.
    for (let i = 0; i < 5; i++) normal[i]![i]! += 1e-6 * points.length;
    const solve = inverse(normal);
    if (solve === null) break;
    const step = solve.map((row) => row.reduce((s, v, k) => s + v * right[k]!, 0));
    const next: EllipseGeometry = {
      type: "ellipse",
      cx: e.cx - step[0]!,
      cy: e.cy - step[1]!,
      rx: e.rx - step[2]!,
      ry: e.ry - step[3]!,
      angle_deg: e.angle_deg - (step[4]! / scale) * (180 / Math.PI),
    };
    if (!(next.rx > 0) || !(next.ry > 0) || !Number.isFinite(next.cx + next.cy + next.angle_deg)) break;
    e = next;
    if (Math.hypot(...step) < 1e-4) break;
  }
  return { ...e, angle_deg: ((e.angle_deg % 180) + 180) % 180 };
}

/** Whole numbers below n in a fixed order without visible pattern. @source multiplier of the MINSTD generator, Park and Miller 1988; from memory. */
function fixedSequence(n: number): () => number {
  let state = 20260302;
  return () => {
    state = (state * 48271) % 2147483647;
    return state % n;
  };
}
