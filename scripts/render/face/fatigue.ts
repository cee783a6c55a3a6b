import { clamp, fbm, lengthOf, mix, noise, ramp } from "../noise.ts";
import type { Face } from "./face.ts";
import { look } from "./face.ts";
import { fibrous, radialRidges } from "./textures.ts";

export interface FatigueFace {
  readonly seed: number;
  /** Directions of the starts at the rim, radians. */
  readonly starts: readonly number[];
  /** Reach of the crack from its starts, rim radii (2 = right across). */
  readonly reach: number;
  /** Distances of the arrest lines from the start, rim radii. */
  readonly arrests: readonly number[];
}

/** Mean direction of the starts. */
export const startDirection = (p: FatigueFace): number => p.starts.reduce((a, b) => a + b, 0) / p.starts.length;

/** How far the crack front had come at a place: curved round the start, flatter as it grows, rim radii. */
export function crackFront(p: FatigueFace, u: number, v: number): number {
  const a = startDirection(p);
  const along = 1 - (u * Math.cos(a) + v * Math.sin(a));
  const across = -u * Math.sin(a) + v * Math.cos(a);
  return (
    Math.sqrt(along * along + (across * across) / (1 + 0.55 * along)) +
    0.03 * noise(u * 2.2, v * 2.2, p.seed + 81) +
    0.008 * noise(u * 9, v * 9, p.seed + 80)
  );
}

/** Fatigue: a flat zone from the skin with arrest lines round the starts, ratchets between them, a small rough final zone. */
export function fatigueFace(p: FatigueFace): Face {
  const a = startDirection(p);
  return (y, z, u, v, k, out) => {
    const front = crackFront(p, u, v);
    const final = ramp(p.reach - 0.015, p.reach + 0.05, front + 0.05 * fbm(u * 4, v * 4, p.seed + 82, 3));
    let step = 0;
    let dark = 0;
    for (const s of p.arrests) {
      const d = front - s;
      step += 0.012 * Math.tanh(d / 0.012);
      const part = 0.5 + 0.5 * Math.sin(s * 37) ** 2;
      dark += part * (Math.exp(-((d / 0.011) ** 2)) - 0.5 * Math.exp(-(((d - 0.03) / 0.02) ** 2)));
    }
    const fine = 0.0028 * noise(front * 70, 1.5 + 2 * noise(u * 3, v * 3, p.seed + 83), p.seed + 84);
    const rho = lengthOf(u, v);
    const theta = Math.atan2(v, u);
    // Between two starts the cracks run at different levels and meet in a short step at the rim.
    let ratchet = 0;
    for (let i = 0; i + 1 < p.starts.length; i++) {
      const mid = (p.starts[i]! + p.starts[i + 1]!) / 2;
      let d = theta - mid;
      d = Math.atan2(Math.sin(d), Math.cos(d)) + 0.03 * noise(rho * 12, i, p.seed + 85);
      ratchet +=
        (i % 2 ? -1 : 1) * 0.042 * Math.tanh(d / 0.012) * Math.exp(-Math.abs(d) / 0.16) * ramp(0.72, 0.97, rho);
    }
    const across = -u * Math.sin(a) + v * Math.cos(a);
    const fan =
      0.01 * radialRidges(Math.atan2(across, front + 0.25) * 4, front, 37, 1.3, p.seed + 86) * ramp(0.1, 0.5, front);
    const past = Math.max(0, front - p.reach);
    out.h =
      k * ((step + fine + ratchet + fan) * (1 - final) + final * (0.03 + 0.8 * past)) +
      0.0022 * fbm(y * 34, z * 34, p.seed + 87, 3) * (1 - final) +
      final * fibrous(y, z, 0.065, p.seed) * 1.1;
    out.cutM = 0;
    out.cutT = 0;
    const age = clamp(1 - front / p.reach, 0, 1);
    const rubbed = 0.1 * fbm(u * 5, v * 5, p.seed + 88, 3);
    const grey = 0.98 - 0.24 * age - 0.36 * clamp(dark, -0.6, 1) + rubbed;
    look(out, mix(0.34, 0.72, final), mix(grey, 0.72, final), mix(0.35, 1, final));
    out.b *= 1 - 0.07 * age * (1 - final);
  };
}
