import { fbm, lengthOf, noise, ramp } from "../noise.ts";
import type { Face } from "./face.ts";
import { look } from "./face.ts";

export interface MeltFace {
  readonly seed: number;
  /** Height of the rounded end over its rim, rim radii. */
  readonly dome: number;
  /** Middle of the shrink pit, rim radii, and its radius. */
  readonly pu: number;
  readonly pv: number;
  readonly pit: number;
  /** +1 rounds the machine end, −1 the take-up end: melted ends do not mate. */
  readonly rounds: 1 | -1;
}

/** A melted end: a smooth rounded drop with ripples of freezing, an oxide skin and a pit where it shrank. */
export function meltFace(p: MeltFace): Face {
  return (y, z, u, v, k, out) => {
    const rho = lengthOf(u, v);
    const round = Math.sqrt(Math.max(0.0004, 1 - Math.min(1, rho * 0.985) ** 2));
    const off = lengthOf(u - p.pu, v - p.pv) + 0.05 * noise(u * 5, v * 5, p.seed + 121);
    const pit = (1 - ramp(0.4 * p.pit, p.pit, off)) * 0.35 * p.pit;
    const ripple = 0.006 * noise(off * 9, 1, p.seed + 122) + 0.012 * fbm(u * 2.6, v * 2.6, p.seed + 123, 3);
    const pebble = 0.004 * fbm(y * 13, z * 13, p.seed + 124, 3);
    out.h = p.rounds * (k * (p.dome * round + ripple - pit) + pebble);
    out.cutM = 0;
    out.cutT = 0;
    const skin = fbm(u * 2.2 + 4, v * 2.2, p.seed + 125, 4);
    look(out, 0.3 + 0.25 * ramp(-0.1, 0.4, skin), 0.72 + 0.3 * skin - 0.25 * (pit > 0.02 ? 1 : 0), 0.35);
    out.r *= 1 + 0.06 * skin;
    out.b *= 1 - 0.14 * ramp(0, 0.5, skin);
  };
}
