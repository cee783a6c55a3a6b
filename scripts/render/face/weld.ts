import { fbm, lengthOf, mix, ramp } from "../noise.ts";
import type { Face } from "./face.ts";
import { look } from "./face.ts";
import { facets, fibrous } from "./textures.ts";

export interface WeldPlane {
  readonly seed: number;
  /** Share of the plane that did join and tore, 0–0.3. */
  readonly joined: number;
}

/** Unbonded joint: a flat dull plane with oxide colours and a few small places that had joined. */
export function weldPlane(p: WeldPlane): Face {
  return (y, z, u, v, k, out) => {
    const rho = lengthOf(u, v);
    const island = ramp(
      0.5 - p.joined,
      0.56 - p.joined,
      fbm(u * 3.3 + 7, v * 3.3, p.seed + 61, 3) + 0.2 * ramp(0.7, 1, rho),
    );
    const grain = facets(y, z, 0.03, 0.16, p.seed + 62) + 0.004 * fbm(y * 40, z * 40, p.seed + 63, 2);
    out.h =
      k * 0.045 * fbm(u * 1.4, v * 1.4, p.seed + 64, 3) + grain + island * (fibrous(y, z, 0.05, p.seed) * 0.9 + 0.02);
    out.cutM = 0;
    out.cutT = 0;
    const patch = fbm(u * 2.1 + 3, v * 2.1, p.seed + 65, 4);
    const dull = 0.34 + 0.32 * patch - 0.08 * ramp(0.5, 0.1, rho);
    look(out, mix(0.66, 0.4, island), mix(dull, 0.95, island), 1);
    const violet = 0.45 * ramp(-0.3, 0.6, fbm(u * 1.3, v * 1.3 + 4, p.seed + 66, 4)) * (1 - island);
    out.r *= 1 - 0.16 * violet;
    out.g *= mix(1, 0.8, violet) * (1 - 0.06 * (1 - island));
    out.b *= 1 + 0.3 * violet;
  };
}
