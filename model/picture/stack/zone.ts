import type { Geometry, Point } from "../../break/geometry.ts";
import type { HeightMap } from "./height-map.ts";

/** A part of the picture, px of the photograph: a circle, or the inside of a closed mark. */
export type Zone =
  | { readonly kind: "circle"; readonly x: number; readonly y: number; readonly radius: number }
  | { readonly kind: "ring"; readonly x: number; readonly y: number; readonly inner: number; readonly outer: number }
  | { readonly kind: "shape"; readonly geometry: Extract<Geometry, { type: "polygon" | "ellipse" }> };

/** Whether a place lies in a zone. @param grow – lets the shape be larger or smaller about its middle; 1 = as it is. */
export function isInside(zone: Zone, x: number, y: number, grow = 1): boolean {
  switch (zone.kind) {
    case "circle":
      return Math.hypot(x - zone.x, y - zone.y) <= zone.radius * grow;
    case "ring": {
      const r = Math.hypot(x - zone.x, y - zone.y);
      return r >= zone.inner && r <= zone.outer;
    }
    case "shape": {
      const [cx, cy] = middleOf(zone);
      return contains(zone.geometry, cx + (x - cx) / grow, cy + (y - cy) / grow);
    }
  }
}

export function middleOf(zone: Zone): Point {
  if (zone.kind !== "shape") return [zone.x, zone.y];
  if (zone.geometry.type === "ellipse") return [zone.geometry.cx, zone.geometry.cy];
  const { points } = zone.geometry;
  const sum = points.reduce<[number, number]>((s, p) => [s[0] + p[0], s[1] + p[1]], [0, 0]);
  return [sum[0] / points.length, sum[1] / points.length];
}

function contains(geometry: Extract<Geometry, { type: "polygon" | "ellipse" }>, x: number, y: number): boolean {
  if (geometry.type === "ellipse") {
    const turn = (geometry.angle_deg * Math.PI) / 180;
    const [dx, dy] = [x - geometry.cx, y - geometry.cy];
    const u = (dx * Math.cos(turn) + dy * Math.sin(turn)) / geometry.rx;
    const v = (-dx * Math.sin(turn) + dy * Math.cos(turn)) / geometry.ry;
    return u * u + v * v <= 1;
  }
  let inside = false;
  const { points } = geometry;
  points.forEach((p, i) => {
    const q = points[(i + 1) % points.length] ?? p;
    if (p[1] > y !== q[1] > y && x < ((q[0] - p[0]) * (y - p[1])) / (q[1] - p[1]) + p[0]) inside = !inside;
  });
  return inside;
}

/** One cell with a height. Places are px of the photograph, heights µm. */
export interface HeightCell {
  readonly x: number;
  readonly y: number;
  readonly um: number;
  readonly u: number;
}

/** Cells with a height whose middle lies in the zone. */
export function cellsIn(map: HeightMap, zone: Zone, grow = 1): HeightCell[] {
  const found: HeightCell[] = [];
  for (let j = 0; j < map.rows; j++)
    for (let i = 0; i < map.columns; i++) {
      const um = map.um[j * map.columns + i]!;
      if (um !== um) continue;
      const x = (i + 0.5) * map.cellPx;
      const y = (j + 0.5) * map.cellPx;
      if (isInside(zone, x, y, grow)) found.push({ x, y, um, u: map.u[j * map.columns + i]! });
    }
  return found;
}
