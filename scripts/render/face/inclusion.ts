import { fbm, lengthOf, mix, noise, ramp } from "../noise.ts";
import type { Face } from "./face.ts";
import { look } from "./face.ts";
import { bowls, facets, fibrous, radialRidges } from "./textures.ts";

export interface Inclusion {
  readonly seed: number;
  /** Mean radius of the particle and its middle, wire radii. */
  readonly size: number;
  readonly cy: number;
  readonly cz: number;
  /** How far it stands out of the machine end, wire radii. */
  readonly height: number;
}

/** Outline of the particle: a blunt, broken lump. @returns radius in a direction, wire radii. */
export function particleRim(p: Inclusion, theta: number): number {
  const corner = 0.1 * Math.cos(3 * theta + p.seed) + 0.07 * Math.cos(5 * theta + 2 * p.seed);
  return p.size * (1 + corner + 0.07 * noise(3 * Math.cos(theta), 3 * Math.sin(theta), p.seed + 51));
}

/** Inclusion: a foreign lump standing in the machine end, its socket in the take-up end, torn metal sloping away. */
export function inclusion(p: Inclusion): Face {
  return (y, z, u, v, k, out) => {
    const dy = y - p.cy;
    const dz = z - p.cz;
    const phi = Math.atan2(dz, dy);
    const dist = lengthOf(dy, dz);
    const rim = particleRim(p, phi);
    const q = dist / rim;
    const inside = 1 - ramp(0.965, 1.0, q);
    const rho = lengthOf(u, v);
    const theta = Math.atan2(v, u);
    const lump =
      p.height * Math.pow(Math.max(0, 1 - q ** 3.4), 0.55) +
      facets(y, z, 0.16, 0.75, p.seed + 52) +
      facets(y, z, 0.06, 0.5, p.seed + 53) +
      0.01 * fbm(y * 22, z * 22, p.seed + 54, 3);
    const away = Math.max(0, dist - rim);
    const lip = ramp(0.8, 0.93, rho + 0.06 * noise(u * 3, v * 3, p.seed + 55));
    const tear =
      -0.42 * away * (1 - 0.5 * ramp(0.1, 0.7, away)) +
      0.06 * radialRidges(phi, dist, 25, 2, p.seed + 56) * ramp(0, 0.15, away) +
      k *
        lip *
        (0.2 * noise(Math.cos(theta) * 1.2, Math.sin(theta) * 1.2 + 3, p.seed + 57) +
          0.04 * radialRidges(theta, rho, 33, 2, p.seed + 58));
    const matrix = tear + fibrous(y, z, 0.085, p.seed) * mix(1, 0.3, lip);
    out.h = mix(matrix, lump, inside);
    // The metal tore away from the particle: a narrow open gap on both sides.
    const gap = Math.exp(-(((q - 1.03) / 0.045) ** 2));
    out.cutM = 0.12 * gap * (1 - inside);
    out.cutT = 0.06 * gap + 0.03 * inside * (bowls(y, z, 0.05, p.seed + 59) / 0.05);
    out.particle = inside;
    look(out, mix(0.64, 0.33, lip), mix(0.78, 1.04, lip), mix(1, 0.4, lip));
  };
}
