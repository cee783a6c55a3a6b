import type { Point } from "../../break/geometry.ts";
import type { HeightMap } from "./height-map.ts";

export interface ProfileSample {
  /** From the first point, px of the photograph. */
  readonly alongPx: number;
  /** µm; null = no height there. */
  readonly um: number | null;
  /** Standard uncertainty, µm; 0 with null. */
  readonly u: number;
}

/** Heights along a line, one sample per cell; each is the height of the cell it falls into. */
export function heightProfile(map: HeightMap, [ax, ay]: Point, [bx, by]: Point): readonly ProfileSample[] {
  const length = Math.hypot(bx - ax, by - ay);
  const count = Math.max(1, Math.round(length / map.cellPx));
  return Array.from({ length: count + 1 }, (_, k) => {
    const t = k / count;
    const i = Math.floor((ax + t * (bx - ax)) / map.cellPx);
    const j = Math.floor((ay + t * (by - ay)) / map.cellPx);
    const inside = i >= 0 && j >= 0 && i < map.columns && j < map.rows;
    const um = inside ? map.um[j * map.columns + i]! : Number.NaN;
    return um === um
      ? { alongPx: t * length, um, u: map.u[j * map.columns + i]! }
      : { alongPx: t * length, um: null, u: 0 };
  });
}
