import type { Placing } from "./break-spec.ts";
import type { Side } from "./end-surface.ts";

/** Where the break lies in a picture, px, and how large it can be shown. */
export interface FreePlace {
  readonly cx: number;
  readonly cy: number;
  readonly perRadius: number;
  readonly tail: number;
}

/** Share of the picture kept free in front of the face. */
const MARGIN = 0.03;

/**
 * Places a side view turned to any angle: the broken face is wholly in the picture, the wire leaves it on the other
 * side, and at least `behind` radii of wire show both edges. The magnification gives way when it would not fit.
 *
 * @param wanted – pixels per wire radius asked for.
 */
export function placeFreely(width: number, height: number, side: Side, wanted: number, placing: Placing): FreePlace {
  const a = (placing.turnDeg * Math.PI) / 180;
  const dir = side === "machine" ? 1 : -1;
  // Toward the break along the axis, and across it.
  const tx = dir * Math.cos(a);
  const ty = dir * Math.sin(a);
  const reach = Math.min(width / 2 / Math.max(1e-6, Math.abs(tx)), height / 2 / Math.max(1e-6, Math.abs(ty)));
  const margin = MARGIN * Math.min(width, height);
  const inside = (x: number, y: number): boolean =>
    x >= margin && y >= margin && x <= width - margin && y <= height - margin;
  for (let perRadius = wanted; ; perRadius *= 0.94) {
    for (let along = placing.along; along > -0.9; along -= 0.04) {
      const cx = width / 2 + tx * along * reach - ty * placing.aside * perRadius;
      const cy = height / 2 + ty * along * reach + tx * placing.aside * perRadius;
      const at = (t: number, s: number): readonly [number, number] => [
        cx + (t * tx - s * ty) * perRadius,
        cy + (t * ty + s * tx) * perRadius,
      ];
      const fits = [-1.1, 1.1].every((s) => inside(...at(placing.ahead, s)) && inside(...at(-0.4, s)));
      if (!fits) continue;
      const tail = tailOf(width, height, cx, cy, perRadius, -tx, -ty);
      if (tail >= placing.behind) return { cx, cy, perRadius, tail };
    }
    if (perRadius < wanted / 12)
      throw new RangeError("The wire fits the picture at no magnification; ask for less wire behind the break.");
  }
}

/** Wire from the break plane along (dx, dy) of which both edges are in the picture, wire radii. */
export function tailOf(
  width: number,
  height: number,
  cx: number,
  cy: number,
  perRadius: number,
  dx: number,
  dy: number,
): number {
  const exit = (x: number, y: number): number => {
    const tx = dx > 1e-9 ? (width - x) / dx : dx < -1e-9 ? -x / dx : Infinity;
    const ty = dy > 1e-9 ? (height - y) / dy : dy < -1e-9 ? -y / dy : Infinity;
    return Math.min(tx, ty);
  };
  const r = 1.02 * perRadius;
  return Math.min(exit(cx - dy * r, cy + dx * r), exit(cx + dy * r, cy - dx * r)) / perRadius;
}
