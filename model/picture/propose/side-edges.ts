import type { Point } from "../../break/geometry.ts";
import type { Strip } from "./side-axis.ts";
import type { AlongAcross, FramedOutline, SideFrame } from "./side-frame.ts";
import { framedOutline, outOfFrame } from "./side-frame.ts";

/** The two straight edges of the sound wire. */
export interface SoundEdges {
  readonly outline: FramedOutline;
  /** Where along the wire each edge comes into the picture, px in the frame. */
  readonly upperFrom: number;
  readonly lowerFrom: number;
  /** Where along the wire the straight part begins, both edges in the picture, and where it ends. */
  readonly from: number;
  readonly to: number;
  /** Root mean square distance of the outline from the two lines, in wire diameters. */
  readonly roughness: number;
}

/** The outline is not trusted this near to the rim of the picture, px. */
const RIM_PX = 4;
/** The straight part is first looked for in this share of the wire, from the rim of the picture. */
const FIRST_SHARE = 0.4;
/** A wire is straight while its half width stays this near to that of the sound part, diameters. */
const STRAIGHT = 0.006;
const STRAIGHT_PX = 0.8;
/** It may stray for this long, diameters: dirt and burrs. */
const STRAY = 0.1;
const ROUNDS = 4;

/**
 * Fits two parallel straight lines to the outline where the wire is sound: from the rim of the picture on, as far as the
 * wire keeps its width. Points off the line (dirt, burrs, a gap in the outline) lose their say.
 *
 * @param strip – first guess, px of the raster, direction toward the break.
 * @returns null when the outline is too short or too rough to carry two lines.
 */
export function soundEdges(points: readonly Point[], strip: Strip): SoundEdges | null {
  const middle = (strip.low + strip.high) / 2;
  let frame: SideFrame = {
    origin: [-Math.sin(strip.turn) * middle, Math.cos(strip.turn) * middle],
    turn: strip.turn,
    diameter: strip.high - strip.low,
  };
  let outline = framedOutline(frame, points);
  const starts = () => [outline.upper[0]?.u ?? 0, outline.lower[0]?.u ?? 0].map((u) => u + RIM_PX) as [number, number];
  let [upperFrom, lowerFrom] = starts();
  let from = Math.max(upperFrom, lowerFrom);
  const end = Math.min(outline.upper.at(-1)?.u ?? 0, outline.lower.at(-1)?.u ?? 0);
  if (end - from < 0.3 * frame.diameter) return null;
  let to = from + Math.max(0.25 * frame.diameter, FIRST_SHARE * (end - from));
  let roughness = 1;
  for (let round = 0; round < ROUNDS; round++) {
    const fit = parallelLines(outline, [upperFrom, lowerFrom], to);
    if (fit === null) return null;
    const turn = frame.turn + Math.atan(fit.slope);
    const centre = (fit.upper + fit.lower) / 2;
    frame = {
      origin: outOfFrame(frame, 0, centre),
      turn,
      diameter: (fit.lower - fit.upper) * Math.cos(turn - frame.turn),
    };
    roughness = fit.spread / frame.diameter;
    outline = framedOutline(frame, points);
    const [upperStart, lowerStart] = starts();
    const one = straightRun(outline.upper, -1, frame.diameter, upperStart);
    const two = straightRun(outline.lower, 1, frame.diameter, lowerStart);
    [upperFrom, lowerFrom] = [one[0], two[0]];
    from = Math.max(upperFrom, lowerFrom);
    to = Math.min(one[1], two[1]);
    if (to - from < 0.15 * frame.diameter) return null;
  }
  return { outline, upperFrom, lowerFrom, from, to, roughness };
}

/** Longest stretch of one edge along which the wire keeps its width; short strays do not end it. */
function straightRun(
  edge: readonly AlongAcross[],
  side: 1 | -1,
  diameter: number,
  from: number,
): readonly [from: number, to: number] {
  const allowed = STRAIGHT * diameter + STRAIGHT_PX;
  let best: readonly [number, number] = [from, from];
  let start: number | null = null;
  let last = from;
  for (const { u, w } of edge) {
    if (u < from || Math.abs(side * w - diameter / 2) > allowed) continue;
    if (start === null || u - last > STRAY * diameter) start = u;
    last = u;
    if (last - start > best[1] - best[0]) best = [start, last];
  }
  return best;
}

interface ParallelFit {
  readonly slope: number;
  readonly upper: number;
  readonly lower: number;
  readonly spread: number;
}

/**
 * Least squares of w = slope · u + offset with one slope and an offset per edge, reweighted by Tukey's biweight.
 *
 * @source from memory: Huber, Robust Statistics (reweighted least squares with the biweight, scale by the median deviation)
 */
function parallelLines(
  { upper, lower }: FramedOutline,
  from: readonly [upper: number, lower: number],
  to: number,
): ParallelFit | null {
  const pick = (edge: readonly AlongAcross[], start: number) => edge.filter(({ u }) => u >= start && u <= to);
  const edges = [pick(upper, from[0]), pick(lower, from[1])];
  if (edges.some((e) => e.length < 10)) return null;
  const weights = edges.map((e) => new Float64Array(e.length).fill(1));
  let slope = 0;
  let offsets = [0, 0];
  let spread = 0;
  for (let round = 0; round < 6; round++) {
    let [top, bottom] = [0, 0];
    const means = edges.map((edge, k) => {
      let [sum, u, w] = [0, 0, 0];
      edge.forEach((p, i) => {
        const weight = weights[k]![i]!;
        sum += weight;
        u += weight * p.u;
        w += weight * p.w;
      });
      return { u: u / sum, w: w / sum };
    });
    edges.forEach((edge, k) => {
      const mean = means[k]!;
      edge.forEach((p, i) => {
        const weight = weights[k]![i]!;
        top += weight * (p.u - mean.u) * (p.w - mean.w);
        bottom += weight * (p.u - mean.u) ** 2;
      });
    });
    slope = bottom > 0 ? top / bottom : 0;
    offsets = means.map((m) => m.w - slope * m.u);
    const off = edges.map((edge, k) => edge.map((p) => Math.abs(p.w - slope * p.u - offsets[k]!)));
    const all = off.flat().sort((a, b) => a - b);
    spread = 1.4826 * (all[Math.floor(all.length / 2)] ?? 0);
    const limit = Math.max(0.7, 4.685 * spread);
    off.forEach((distances, k) =>
      distances.forEach((d, i) => (weights[k]![i] = d < limit ? (1 - (d / limit) ** 2) ** 2 : 0)),
    );
    if (weights.some((w) => w.reduce((a, b) => a + b, 0) < 5)) return null;
  }
  const [one = 0, two = 0] = offsets;
  return two > one ? { slope, upper: one, lower: two, spread } : null;
}

/** What juts out rises this far beyond the sound edge, from near it, over no longer a way along the wire, diameters. */
const JUT = { rise: 0.05, near: 0.015, over: 0.08, window: 0.4 } as const;

/**
 * Whether the outline jumps out of the sound edge somewhere. Wires swell and bend little by little; an outline that jumps
 * has been led astray by the ground.
 */
export function juts({ outline, from }: SoundEdges): boolean {
  const d = outline.frame.diameter;
  return [outline.upper, outline.lower].some((edge, k) => {
    const out = (p: AlongAcross): number => (k === 0 ? -p.w : p.w) - d / 2;
    return edge.some((p, i) => {
      if (p.u < from || out(p) > JUT.near * d) return false;
      for (let n = i + 1; n < edge.length && (n - i) * 2 < JUT.window * d; n++)
        if (out(edge[n]!) > JUT.rise * d && Math.abs(edge[n]!.u - p.u) < JUT.over * d) return true;
      return false;
    });
  });
}
