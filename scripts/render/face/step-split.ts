import { fbm, mix, noise, ramp } from "../noise.ts";
import type { Face } from "./face.ts";
import { look } from "./face.ts";
import { fibrous } from "./textures.ts";

export interface StepSplit {
  readonly seed: number;
  /** Direction across the split, radians. */
  readonly across: number;
  /** Where the walls lie, rim radii from the axis along `across`, rising. */
  readonly walls: readonly number[];
  /** Height of each step, wire radii, signed. */
  readonly steps: readonly number[];
}

/** Lengthwise split: ragged woody levels joined by walls that run along the wire. */
export function stepSplit(p: StepSplit): Face {
  const cos = Math.cos(p.across);
  const sin = Math.sin(p.across);
  return (y, z, u, v, k, out) => {
    const a = u * cos + v * sin;
    const b = -u * sin + v * cos;
    const wander = 0.04 * noise(b * 2.3, 1, p.seed + 111) + 0.015 * noise(b * 11, 2, p.seed + 112);
    let h = 0;
    let wall = 0;
    p.walls.forEach((at, i) => {
      const d = a - at - wander;
      h += p.steps[i]! * ramp(-0.03, 0.03, d);
      wall = Math.max(wall, 1 - ramp(0.03, 0.06, Math.abs(d)));
    });
    const total = p.steps.reduce((sum, s) => sum + s, 0);
    // Splinters: long fibres end at their own heights.
    const splinter =
      0.16 * noise(a * 16, b * 5, p.seed + 113) +
      0.09 * noise(a * 42, b * 12, p.seed + 114) +
      0.04 * noise(a * 90, b * 40, p.seed + 115);
    out.h =
      h -
      total / 2 +
      k * splinter * (1 - 0.6 * wall) +
      fibrous(y, z, 0.06, p.seed) * 0.6 +
      k * 0.12 * fbm(u * 1.7, v * 1.7, p.seed + 116, 2);
    out.cutM = 0;
    out.cutT = 0;
    const streak = noise(a * 60, b * 3, p.seed + 117);
    look(out, mix(0.62, 0.4, wall), mix(0.72 + 0.16 * streak, 0.9, wall), mix(0.95, 0.5, wall));
  };
}
