import { fbm, mix, noise, ramp } from "./noise.ts";
import type { Rgb } from "./metal.ts";

/** The outside of the wire. Lengths in wire radii; x is downstream from the break plane. */
export interface SkinSpec {
  readonly seed: number;
  /** Depth of the draw lines, 0–1. */
  readonly lines: number;
  /** Angle of the draw lines to the axis, degrees, positive = right-hand. */
  readonly helixDeg?: number;
  /** Lines along the wire at one clock position: seam or lap. */
  readonly seams?: readonly { readonly theta: number; readonly width: number; readonly dark: number }[];
  /** Heat colours from the break outward: colour factor and where each ends. */
  readonly tint?: readonly { readonly to: number; readonly colour: Rgb }[];
  /** File and grinding marks round the wire, up to this distance from the break. */
  readonly dressedTo?: number;
  /** A rubbed, stained or puffed patch: middle and half width round the wire, from where to where along it. */
  readonly patches?: readonly {
    readonly theta: number;
    readonly width: number;
    readonly to: number;
    readonly colour: Rgb;
    readonly rough: number;
    /** Drag marks along the wire, 0–1, and blisters, wire radii. */
    readonly drag: number;
    readonly puff: number;
  }[];
  /** Short cracks across the surface near the break. */
  readonly cracks?: { readonly theta: number; readonly width: number; readonly pitch: number; readonly to: number };
}

export interface SkinSample {
  /** Height over the smooth wire, wire radii. */
  bump: number;
  rough: number;
  r: number;
  g: number;
  b: number;
}

const TAU = 2 * Math.PI;

/** Distance round the wire between two directions, radians, signed. */
export const around = (a: number, b: number): number => Math.atan2(Math.sin(a - b), Math.cos(a - b));

/**
 * Looks up the skin.
 *
 * @param strain – local thinning 0–1: stretched skin goes matt and rumpled.
 * @param fresh – 1 where a tool has just cut the metal bare.
 */
export function sampleSkin(
  spec: SkinSpec,
  x: number,
  theta: number,
  strain: number,
  fresh: number,
  out: SkinSample,
): SkinSample {
  const turned = theta - Math.tan(((spec.helixDeg ?? 0) * Math.PI) / 180) * x;
  const t = (((turned / TAU) % 1) + 1) % 1;
  const s = spec.seed;
  const depth = spec.lines * (1 - 0.75 * strain) * (1 - fresh);
  let bump =
    depth *
    (0.0045 * noise(x * 0.1, t * 60, s, 60) +
      0.0024 * noise(x * 0.16, t * 170, s + 1, 170) +
      0.0011 * noise(x * 0.3, t * 420, s + 2, 420) +
      0.0006 * noise(x * 0.6, t * 960, s + 16, 960));
  // Handling marks: short fine scratches and tiny dents that no wire is free of.
  bump -=
    0.0016 * ramp(0.55, 0.8, noise(x * 5 + t * 40, t * 30 - x * 1.3, s + 17)) +
    0.0007 * noise(x * 60, t * 300, s + 18, 300);
  const score = noise(x * 0.07, t * 240, s + 3, 240);
  const streak = 1 + 0.1 * depth * score - 0.3 * depth * ramp(0.42, 0.7, score);
  let rough = mix(0.24, 0.5, strain);
  out.r = streak;
  out.g = streak;
  out.b = streak;
  if (strain > 0.02)
    bump += 0.02 * strain * fbm(x * 9, t * 46, s + 4, 3) + 0.008 * strain * noise(x * 40, t * 220, s + 5, 220);
  if (fresh > 0) {
    bump += fresh * 0.005 * noise(x * 55 + 8 * t, t * 9, s + 6, 9);
    rough = mix(rough, 0.22, fresh);
    const bare = mix(1, 1.18, fresh);
    out.r *= bare;
    out.g *= bare;
    out.b *= bare;
  }
  for (const seam of spec.seams ?? []) {
    const wander = 0.012 * noise(x * 1.7, 2, s + 8) + 0.005 * noise(x * 9, 3, s + 9);
    const off = around(turned, seam.theta) + wander;
    const core = Math.exp(-((off / seam.width) ** 2));
    const flank = Math.exp(-(((off - 2.6 * seam.width) / (1.6 * seam.width)) ** 2));
    const keep = 1 - seam.dark * core * (0.8 + 0.2 * noise(x * 6, 5, s + 10)) - 0.12 * flank;
    bump -= 0.02 * core;
    out.r *= keep;
    out.g *= keep * (1 - 0.1 * core);
    out.b *= keep * (1 - 0.18 * core);
    rough = mix(rough, 0.6, core);
  }
  const d = Math.abs(x);
  if (spec.dressedTo !== undefined && d < spec.dressedTo) {
    const part = 1 - ramp(spec.dressedTo * 0.86, spec.dressedTo, d + 0.06 * noise(3, t * 9, s + 11, 9));
    const file = noise(x * 26 + 5 * t, t * 3, s + 12, 3) + 0.7 * noise(x * 70 + 14 * t, t * 5, s + 13, 5);
    bump += part * 0.006 * file;
    rough = mix(rough, 0.36, part);
    const keep = 1 + part * 0.12 * file;
    out.r *= keep;
    out.g *= keep;
    out.b *= keep;
  }
  if (spec.tint) {
    const place = d + 0.07 * fbm(x * 1.5 + 20, t * 7, s + 14, 3);
    let from = 0;
    let before: Rgb | null = null;
    for (const band of spec.tint) {
      if (place < band.to || band === spec.tint[spec.tint.length - 1]) {
        const blend = before ? ramp(from, from + 0.45 * (band.to - from), place) : 1;
        const fade =
          band === spec.tint[spec.tint.length - 1] ? 1 - ramp(from + 0.3 * (band.to - from), band.to, place) : 1;
        const colour = band.colour.map((c, i) => mix(1, mix((before ?? band.colour)[i]!, c, blend), fade));
        out.r *= colour[0]!;
        out.g *= colour[1]!;
        out.b *= colour[2]!;
        rough = mix(rough, 0.4, fade * 0.6);
        break;
      }
      from = band.to;
      before = band.colour;
    }
  }
  for (const p of spec.patches ?? []) {
    const edge = Math.max(Math.abs(around(theta, p.theta)) / p.width, d / p.to) + 0.3 * fbm(x * 3, t * 19, s + 19, 3);
    const part = 1 - ramp(0.8, 1.05, edge);
    if (part <= 0) continue;
    const drag = p.drag * noise(x * 0.6, t * 330, s + 20, 330);
    const blister = p.puff > 0 ? Math.max(0, noise(x * 7, t * 40, s + 21, 40)) : 0;
    const mottled = 1 + 0.35 * (1 - p.drag) * fbm(x * 6, t * 36, s + 22, 3);
    bump += part * (0.006 * drag + p.puff * blister);
    rough = mix(rough, p.rough, part);
    const keep = (1 + 0.3 * drag) * mottled;
    out.r *= mix(1, p.colour[0] * keep, part);
    out.g *= mix(1, p.colour[1] * keep, part);
    out.b *= mix(1, p.colour[2] * keep, part);
  }
  if (spec.cracks && d < spec.cracks.to) {
    const c = spec.cracks;
    const off = Math.abs(around(theta, c.theta)) / c.width;
    const wave = x + 0.05 * noise(t * 40, x, s + 15) + 0.08 * off * off;
    const near = Math.abs(wave / c.pitch - Math.round(wave / c.pitch)) * c.pitch;
    const core = Math.exp(-((near / 0.012) ** 2)) * (1 - ramp(0.7, 1, off));
    bump -= 0.02 * core;
    const keep = 1 - 0.85 * core;
    out.r *= keep;
    out.g *= keep;
    out.b *= keep;
  }
  out.bump = bump;
  out.rough = rough;
  return out;
}
