import { fbm, lengthOf, mix, noise, ramp } from "../noise.ts";
import type { Face } from "./face.ts";
import { look } from "./face.ts";
import { fibrous } from "./textures.ts";

export interface TwistedFace {
  readonly seed: number;
  /** +1 or −1: which way the spiral opens (seen from the take-up side). */
  readonly hand: 1 | -1;
  /** Middle of the last torn spot, rim radii. */
  readonly cu: number;
  readonly cv: number;
}

/** Twist-off: a square, smeared face with a swirl round the axis and a small torn spot where it parted last. */
export function twistedFace(p: TwistedFace): Face {
  return (y, z, u, v, k, out) => {
    const du = u - p.cu;
    const dv = v - p.cv;
    const rho = lengthOf(du, dv);
    const spiral = Math.atan2(dv, du) + p.hand * 2.6 * Math.log(rho + 0.12);
    const turn = (n: number): number => ((spiral / (2 * Math.PI)) * n + 40 * n) % n;
    const grooves =
      0.045 * noise(rho * 2.4, turn(8), p.seed + 71, 8) * ramp(0.04, 0.3, rho) +
      0.02 * noise(rho * 8, turn(9), p.seed + 79, 9) +
      0.01 * noise(rho * 24, turn(11), p.seed + 72, 11) +
      0.005 * noise(rho * 60, turn(13), p.seed + 73, 13) +
      0.0024 * noise(rho * 140, turn(17), p.seed + 74, 17);
    const spot = 1 - ramp(0.1, 0.17, rho + 0.03 * noise(u * 9, v * 9, p.seed + 75));
    const pull = 0.09 * Math.exp(-((rho / 0.16) ** 2));
    out.h =
      k * (grooves * 1.15 * (1 - 0.8 * spot) + pull + 0.03 * fbm(u * 1.3, v * 1.3, p.seed + 76, 2)) +
      spot * fibrous(y, z, 0.06, p.seed) +
      0.0016 * fbm(y * 60, z * 60, p.seed + 77, 2);
    out.cutM = 0;
    out.cutT = 0;
    const streak = noise(rho * 40, turn(5), p.seed + 78, 5);
    look(out, mix(0.34, 0.68, spot), mix(0.88 + 0.12 * streak, 0.7, spot), mix(0.3, 1, spot));
  };
}
