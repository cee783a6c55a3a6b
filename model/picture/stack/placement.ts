/**
 * Where a frame lies on the reference frame of its series: a place (x, y) of the reference shows in the frame at
 * scale·(x − cx) + cx + dx, and so for y; (cx, cy) is the middle of the picture. Moving the focus changes the
 * magnification a little ("breathing") and the column of the stand leans a little.
 */
export interface Placement {
  readonly scale: number;
  /** px of the frame. */
  readonly dx: number;
  readonly dy: number;
  /** Brightness of the frame over that of the reference. */
  readonly gain: number;
}

export const AT_HOME: Placement = { scale: 1, dx: 0, dy: 0, gain: 1 };

/** @param next – of a frame on the frame before. @param before – of that frame on the reference. */
export const onReference = (next: Placement, before: Placement): Placement => ({
  scale: next.scale * before.scale,
  dx: next.scale * before.dx + next.dx,
  dy: next.scale * before.dy + next.dy,
  gain: next.gain * before.gain,
});

/** The same placement in a picture `by` times as large. */
export const enlarged = (p: Placement, by: number): Placement => ({ ...p, dx: p.dx * by, dy: p.dy * by });
