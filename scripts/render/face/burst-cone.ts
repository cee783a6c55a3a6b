import { fbm, lengthOf, mix, noise, ramp } from "../noise.ts";
import type { Face } from "./face.ts";
import { look } from "./face.ts";
import { fibrous, granular, radialRidges } from "./textures.ts";

export interface BurstCone {
  readonly seed: number;
  /** Radius of the cone's base / rim radius. */
  readonly base: number;
  /** Angle of the flank to the wire axis, degrees. */
  readonly flankDeg: number;
  /** +1: the tip points downstream (cone on the machine end); −1: upstream. */
  readonly points: 1 | -1;
  /** Grain of the flank, wire radii. */
  readonly grain: number;
}

/** Where the cone or its hollow meets the torn ring, rim radii. */
export function burstEdge(p: BurstCone, theta: number): number {
  let r = p.base;
  for (let i = 0; i < 12; i++)
    r = p.base - 0.035 * fbm(r * Math.cos(theta) * 2.2, r * Math.sin(theta) * 2.2, p.seed + 21, 3);
  return r;
}

/** Central burst: a granular cone from near the rim right to the axis, and a narrow torn ring round it. */
export function burstCone(p: BurstCone): Face {
  const slope = 1 / Math.tan((p.flankDeg * Math.PI) / 180);
  return (y, z, u, v, k, out) => {
    const theta = Math.atan2(v, u);
    const rho = lengthOf(u, v);
    const wob = 0.035 * fbm(u * 2.2, v * 2.2, p.seed + 21, 3);
    const round = Math.sqrt(rho * rho + 0.0016) + wob * ramp(0.05, 0.4, rho);
    const ring = ramp(p.base - 0.03, p.base + 0.03, round);
    // Faint ledges: the burst grew in steps as the wire passed the die.
    const ledge = 0.018 * noise(round * 13 + 0.8 * noise(u * 2, v * 2, p.seed + 22), 2.5, p.seed + 23);
    const cone = Math.max(0, p.base - round) * slope + ledge * (1 - ring);
    const ridges = 0.02 * radialRidges(theta, rho, 31, 2.4, p.seed + 24) * (1 - ring);
    const torn =
      ring *
      (0.075 * radialRidges(theta, rho, 27, 1.5, p.seed + 25) + 0.05 * radialRidges(theta, rho, 9, 1, p.seed + 26));
    out.h =
      k * (p.points * (cone + ridges) + torn + 0.35 * p.points * (ring * (p.base - round))) +
      granular(y, z, p.grain, p.seed) * mix(0.75, 0.12, ring) +
      ring * fibrous(y, z, 0.04, p.seed + 31) * 0.55;
    out.cutM = 0;
    out.cutT = 0;
    look(out, mix(0.5, 0.36, ring), mix(0.86, 1.05, ring), mix(0.85, 0.4, ring));
  };
}
