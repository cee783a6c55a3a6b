import { fbm, lengthOf, mix, noise, ramp } from "../noise.ts";
import type { Face } from "./face.ts";
import { look } from "./face.ts";
import { fibrous, radialRidges } from "./textures.ts";

export interface CupAndCone {
  readonly seed: number;
  /** Radius of the flat middle / rim radius. */
  readonly floor: number;
  /** Angle of the lip to the wire axis, degrees. */
  readonly lipDeg: number;
  /** +1: the machine end is the cone all round; 0.5: some of the rim stands on the other end. */
  readonly share: number;
  /** Strength of radial ridges between floor and lip (hard steel), 0–1. */
  readonly star: number;
  /** Size of the bowls of the floor, wire radii. */
  readonly bowl: number;
}

/** Where the lip begins in a direction, rim radii. */
export function floorEdge(p: CupAndCone, theta: number): number {
  let r = p.floor;
  for (let i = 0; i < 12; i++) {
    const u = r * Math.cos(theta);
    const v = r * Math.sin(theta);
    r = p.floor - edgeWander(p, u, v);
  }
  return r;
}

const edgeWander = (p: CupAndCone, u: number, v: number): number =>
  0.05 * fbm(u * 2.6, v * 2.6, p.seed + 11, 3) + 0.02 * noise(u * 14, v * 14, p.seed + 12);

/** Ductile overload: a flat fibrous middle and a lip near 45° that stands on one end or the other. */
export function cupAndCone(p: CupAndCone): Face {
  const slope = 1 / Math.tan((p.lipDeg * Math.PI) / 180);
  return (y, z, u, v, k, out) => {
    const theta = Math.atan2(v, u);
    const wob = edgeWander(p, u, v);
    const rho = lengthOf(u, v);
    const edge = rho + wob;
    const lip = ramp(p.floor - 0.04, p.floor + 0.045, edge);
    const turn = noise(1.1 * Math.cos(theta) + 3, 1.1 * Math.sin(theta) + 5, p.seed + 13) + p.share;
    const sign = mix(-1, 1, ramp(-0.05, 0.05, turn));
    const rise = Math.max(0, edge - p.floor) * slope;
    const ragged =
      0.035 * radialRidges(theta, rho, 23, 2, p.seed + 14) + 0.02 * radialRidges(theta, rho, 61, 3, p.seed + 15);
    const floorH = 0.1 * fbm(u * 1.7, v * 1.7, p.seed + 16, 3);
    const star = p.star * ramp(p.floor * 0.35, p.floor * 0.8, rho) * (1 - lip);
    const ridges =
      star *
      0.035 *
      (radialRidges(theta, rho, 19, 1.2, p.seed + 17) + 0.7 * radialRidges(theta, rho, 43, 1.7, p.seed + 18));
    out.h =
      k * (floorH * (1 - 0.7 * lip) - sign * rise + ridges + ragged * lip * (0.4 + rise)) +
      fibrous(y, z, p.bowl, p.seed) * mix(1 - 0.55 * star, 0.12, lip) +
      lip *
        (0.006 * radialRidges(theta, rho, 210, 2.2, p.seed + 19) +
          0.0022 * radialRidges(theta, rho, 480, 9, p.seed + 20));
    out.cutM = 0;
    out.cutT = 0;
    look(out, mix(0.72, 0.3, lip), mix(0.58 + 0.12 * star, 1.08, lip), mix(1, 0.25, lip));
  };
}
