import { fbm, hash01, nearestCell, newCell, noise } from "../noise.ts";

/** Textures return heights in wire radii; `size` is the typical feature, in wire radii. */
const cell = newCell();

/** One generation of bowls with sharp rims, as left when voids join. */
export function bowls(y: number, z: number, size: number, seed: number): number {
  const c = nearestCell(y / size, z / size, seed, cell);
  return size * 0.62 * c.f1 * c.f1;
}

/** Fibrous floor: bowls of three sizes over soft hills. */
export function fibrous(y: number, z: number, size: number, seed: number): number {
  const wy = y + 0.35 * size * noise(y / size, z / size, seed + 1);
  const wz = z + 0.35 * size * noise(y / size, z / size, seed + 2);
  return (
    bowls(wy, wz, size, seed + 3) * 0.55 +
    bowls(wy, wz, size * 0.47, seed + 4) * 0.85 +
    bowls(wy, wz, size * 0.22, seed + 5) * 0.95 +
    bowls(wy, wz, size * 0.1, seed + 8) * 0.9 +
    size * 0.28 * fbm(y / size / 2.4, z / size / 2.4, seed + 6, 3)
  );
}

/** Grains: each cell a small tilted plane at its own level. */
export function facets(y: number, z: number, size: number, tilt: number, seed: number): number {
  const c = nearestCell(y / size, z / size, seed, cell);
  const a = hash01(c.id, 1, seed) * 2 - 1;
  const b = hash01(c.id, 2, seed) * 2 - 1;
  const level = hash01(c.id, 3, seed) - 0.5;
  return size * tilt * (a * c.dx + b * c.dy + 0.35 * level);
}

/** Granular surface: two sizes of grains over lumps. */
export function granular(y: number, z: number, size: number, seed: number): number {
  return (
    facets(y, z, size, 1.1, seed) +
    facets(y, z, size * 0.48, 0.9, seed + 1) +
    facets(y, z, size * 0.2, 0.8, seed + 3) +
    size * 0.9 * fbm(y / size / 1.7, z / size / 1.7, seed + 2, 4)
  );
}

/** Rounded knobs, as the tips of dendrites that froze freely. */
export function knobs(y: number, z: number, size: number, seed: number): number {
  const c = nearestCell(y / size, z / size, seed, cell);
  return size * 0.7 * Math.max(0, 1 - 1.4 * c.f1 * c.f1);
}

/** Fine ridges that run along the radius: noise stretched toward the axis. `count` cells round the rim. */
export function radialRidges(theta: number, rho: number, count: number, along: number, seed: number): number {
  return noise(rho * along, ((theta / (2 * Math.PI)) * count + count) % count, seed, count);
}
