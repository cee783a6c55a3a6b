import { fbm, lengthOf, mix, noise, ramp } from "../noise.ts";
import type { Face } from "./face.ts";
import { look } from "./face.ts";
import { fibrous, knobs, radialRidges } from "./textures.ts";

export interface CastingVoid {
  readonly seed: number;
  /** Mean radius of the hole / rim radius. */
  readonly hole: number;
  /** Place of its middle, rim radii. */
  readonly cu: number;
  readonly cv: number;
  /** How far the hole is drawn in the height field, wire radii: deeper than any light reaches. */
  readonly depth: number;
}

/** Rim of the hole in a direction from its middle, rim radii: lumpy, a little oval. */
export function voidRim(p: CastingVoid, theta: number): number {
  return (
    p.hole *
    (1 +
      0.07 * Math.cos(2 * (theta - 0.6)) +
      0.13 * noise(1.5 * Math.cos(theta) + 9, 1.5 * Math.sin(theta) + 4, p.seed + 41) +
      0.05 * noise(5 * Math.cos(theta), 5 * Math.sin(theta), p.seed + 42))
  );
}

/** Casting void: a parallel hole with lumpy, oxide-dark walls that goes on into both ends; a torn ring of metal round it. */
export function castingVoid(p: CastingVoid): Face {
  return (y, z, u, v, k, out) => {
    const du = u - p.cu;
    const dv = v - p.cv;
    const phi = Math.atan2(dv, du);
    const theta = Math.atan2(v, u);
    const rho = lengthOf(u, v);
    const rim = voidRim(p, phi);
    const inward = rim - lengthOf(du, dv);
    const inside = ramp(0, 0.02, inward);
    const wall = Math.min(p.depth, Math.max(0, inward) * k * 7.5);
    const lumps = knobs(y, z, 0.085, p.seed + 43) + 0.6 * knobs(y + 5, z, 0.045, p.seed + 44);
    const side = ramp(-0.4, 0.4, noise(1.3 * Math.cos(theta) + 2, 1.3 * Math.sin(theta) + 8, p.seed + 45)) * 2 - 1;
    const across = (rho - (p.hole + 1) / 2) * 0.75 * side;
    const ragged = 0.05 * radialRidges(theta, rho, 21, 1.5, p.seed + 46);
    out.h =
      (1 - inside) *
      (k * (across + ragged + 0.1 * fbm(u * 2, v * 2, p.seed + 47, 3)) + fibrous(y, z, 0.075, p.seed) * 0.8);
    const cut = inside * Math.max(0, wall - lumps * 1.6);
    out.cutM = cut;
    out.cutT = cut;
    const lip = (1 - inside) * ramp(0.8, 0.95, rho);
    look(
      out,
      mix(mix(0.62, 0.34, lip), 0.42, inside),
      mix(mix(0.84, 1.05, lip), 0.5, inside),
      mix(0.9 - 0.5 * lip, 0.5, inside),
    );
    // Light does not come back from the depth.
    const fade = Math.exp(-1.1 * Math.max(0, wall - 0.1));
    out.r = mix(out.r, out.r * fade, inside);
    out.g = mix(out.g, 0.44 * fade, inside);
    out.b = mix(out.b, 0.38 * fade, inside);
  };
}
