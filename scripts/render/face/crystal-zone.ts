import { fbm, hash01, lengthOf, mix, nearestCell, newCell, noise, ramp } from "../noise.ts";
import type { Face } from "./face.ts";
import { look } from "./face.ts";
import { fibrous, granular, radialRidges } from "./textures.ts";

export interface CrystalZone {
  readonly seed: number;
  /** Direction of the start at the rim, radians. */
  readonly from: number;
  /** Reach of the zone from the start, rim radii (2.2 = the whole face). */
  readonly reach: number;
  /** Size of the grains, wire radii. */
  readonly grain: number;
  /** Sparkle of clean facets, 0 matt – 1 mirror-like. */
  readonly bright: number;
  /** Brightness of the zone against torn metal. */
  readonly grey: number;
  /** Red and blue of a film on the grains. */
  readonly red: number;
  readonly blue: number;
  /** Crust that hides the grains in patches, 0–1. */
  readonly crust: number;
  /** Size of the bowls of the rest, wire radii, and its lip on the far side, 0–1. */
  readonly bowl: number;
  readonly lip: number;
}

const cell = newCell();

/** How far a place lies inside the zone, rim radii; 0 on its edge. */
export function zoneDepth(p: CrystalZone, u: number, v: number): number {
  const along = 1 - (u * Math.cos(p.from) + v * Math.sin(p.from));
  const across = -u * Math.sin(p.from) + v * Math.cos(p.from);
  const front = lengthOf(along, 0.62 * across) + 0.05 * fbm(u * 3.1, v * 3.1, p.seed + 101, 3);
  return p.reach - front;
}

/** A zone of grains from the skin – bright, matt, dark with oxide or crusted – and a fibrous rest that parted last. */
export function crystalZone(p: CrystalZone): Face {
  return (y, z, u, v, k, out) => {
    const inside = ramp(-0.02, 0.03, zoneDepth(p, u, v));
    const rho = lengthOf(u, v);
    const theta = Math.atan2(v, u);
    const c = nearestCell(y / p.grain, z / p.grain, p.seed, cell);
    const tone = hash01(c.id, 5, p.seed) - 0.5;
    const crust = p.crust * ramp(-0.15, 0.3, fbm(u * 3.4 + 11, v * 3.4, p.seed + 102, 4));
    const grains = granular(y, z, p.grain, p.seed) * mix(1, 0.35, crust);
    const far = ramp(0.84, 0.96, rho + 0.04 * noise(u * 4, v * 4, p.seed + 103)) * p.lip * (1 - inside);
    const rest =
      fibrous(y, z, p.bowl, p.seed + 7) * mix(1, 0.3, far) +
      k * (0.06 * radialRidges(theta, rho, 27, 1.6, p.seed + 104) * far + 0.5 * far * (rho - 0.84));
    out.h =
      inside * (grains + 0.02 * crust * noise(y * 9, z * 9, p.seed + 105)) +
      (1 - inside) * rest +
      k * (0.05 * fbm(u * 1.5, v * 1.5, p.seed + 106, 2) + 0.06 * (1 - inside));
    out.cutM = 0;
    out.cutT = 0;
    const zoneGrey = p.grey * (1 + 0.5 * p.bright * tone + 0.18 * fbm(u * 2.4, v * 2.4 + 5, p.seed + 107, 3));
    const zoneRough = mix(mix(0.85, 0.24, p.bright), 0.95, crust);
    const restGrey = mix(0.74, 1.04, far);
    look(
      out,
      mix(mix(0.68, 0.32, far), zoneRough, inside),
      mix(restGrey, zoneGrey, inside),
      mix(1, 1 - p.bright, inside),
    );
    const film = inside * mix(0.55, 1, crust);
    out.r *= mix(1, p.red, film);
    out.b *= mix(1, p.blue, film);
    if (crust > 0) {
      const stain = 1 - 0.4 * crust * inside;
      out.r *= mix(stain, 1, 0.3);
      out.g *= stain;
      out.b *= stain;
    }
  };
}
