import type { Point } from "../../break/geometry.ts";

/** A wire in a side view: its centre line, direction and diameter, px of the raster. */
export interface SideFrame {
  /** A point of the centre line. */
  readonly origin: Point;
  /** Toward the break, radians from +x toward +y. */
  readonly turn: number;
  readonly diameter: number;
}

/** Place in the frame: `u` along the wire toward the break, `w` across it from the centre line. */
export interface AlongAcross {
  readonly u: number;
  readonly w: number;
}

export function intoFrame({ origin, turn }: SideFrame, [x, y]: Point): AlongAcross {
  const [c, s] = [Math.cos(turn), Math.sin(turn)];
  const [dx, dy] = [x - origin[0], y - origin[1]];
  return { u: c * dx + s * dy, w: c * dy - s * dx };
}

export function outOfFrame({ origin, turn }: SideFrame, u: number, w: number): Point {
  const [c, s] = [Math.cos(turn), Math.sin(turn)];
  return [origin[0] + c * u - s * w, origin[1] + s * u + c * w];
}

/** The outline in the frame, cut at the tip: both edges run from the rim of the picture toward the break. */
export interface FramedOutline {
  readonly frame: SideFrame;
  /** Edge with the lower `w`. */
  readonly upper: readonly AlongAcross[];
  readonly lower: readonly AlongAcross[];
}

/** Puts an outline, which runs up one edge and down the other, into a frame. */
export function framedOutline(frame: SideFrame, points: readonly Point[]): FramedOutline {
  const placed = points.map((p) => intoFrame(frame, p));
  let tip = 0;
  placed.forEach(({ u }, i) => {
    if (u > placed[tip]!.u) tip = i;
  });
  const one = placed.slice(0, tip + 1);
  const two = placed.slice(tip).reverse();
  const firstIsUpper = (one[0]?.w ?? 0) <= (two[0]?.w ?? 0);
  return { frame, upper: firstIsUpper ? one : two, lower: firstIsUpper ? two : one };
}
