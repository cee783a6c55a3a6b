import type { Point } from "../../model/break/geometry.ts";

declare const space: unique symbol;
/** A place in the photograph: pixels of the upright picture, x right, y down. */
export type PhotoPoint = Point & { readonly [space]?: "photograph" };
/** A place on the stage: CSS pixels from the upper left corner of the container, x right, y down. */
export type StagePoint = readonly [x: number, y: number] & { readonly [space]?: "stage" };

export const photoPoint = (x: number, y: number): PhotoPoint => [x, y];
export const stagePoint = (x: number, y: number): StagePoint => [x, y];

/** What of a photograph is shown, without the size of the window it is shown in. */
export interface View {
  /** The place of the photograph in the middle of the stage. */
  readonly centre: PhotoPoint;
  /** Stage (CSS) pixels per photograph pixel. The device pixel ratio never enters. */
  readonly zoom: number;
}

/** Everything a conversion needs. */
export interface Frame extends View {
  /** Turn of the picture on the stage, degrees clockwise as seen. */
  readonly turnDeg: number;
  /** Size of the stage in CSS pixels. */
  readonly widthPx: number;
  readonly heightPx: number;
}

/** Unit vector of the turn: cosine and sine. Quarter turns are exact so that they add no rounding. */
function turnOf(turnDeg: number): readonly [cos: number, sin: number] {
  const quarter = (((turnDeg % 360) + 360) % 360) / 90;
  if (Number.isInteger(quarter)) return ([[1, 0], [0, 1], [-1, 0], [0, -1]] as const)[quarter as 0 | 1 | 2 | 3]; // prettier-ignore
  const rad = (turnDeg * Math.PI) / 180;
  return [Math.cos(rad), Math.sin(rad)];
}

/** Turns and stretches a displacement of the photograph into one of the stage. */
export function toStageStep(frame: Pick<Frame, "turnDeg" | "zoom">, dx: number, dy: number): StagePoint {
  const [c, s] = turnOf(frame.turnDeg);
  return stagePoint((dx * c - dy * s) * frame.zoom, (dx * s + dy * c) * frame.zoom);
}

/** The displacement of the photograph seen as this displacement of the stage. */
export function toPhotoStep(frame: Pick<Frame, "turnDeg" | "zoom">, dx: number, dy: number): PhotoPoint {
  const [c, s] = turnOf(frame.turnDeg);
  return photoPoint((dx * c + dy * s) / frame.zoom, (dy * c - dx * s) / frame.zoom);
}

/** Where a place of the photograph appears on the stage. */
export function toStage(frame: Frame, p: PhotoPoint): StagePoint {
  const [x, y] = toStageStep(frame, p[0] - frame.centre[0], p[1] - frame.centre[1]);
  return stagePoint(x + frame.widthPx / 2, y + frame.heightPx / 2);
}

/** Which place of the photograph lies under a place of the stage. */
export function toPhoto(frame: Frame, p: StagePoint): PhotoPoint {
  const [x, y] = toPhotoStep(frame, p[0] - frame.widthPx / 2, p[1] - frame.heightPx / 2);
  return photoPoint(x + frame.centre[0], y + frame.centre[1]);
}

/** The same as `toStage` for a drawing context: [a, b, c, d, e, f] of `setTransform`, device pixels left out. */
export function stageMatrix(frame: Frame): readonly [number, number, number, number, number, number] {
  const [c, s] = turnOf(frame.turnDeg);
  const k = frame.zoom;
  const [cx, cy] = frame.centre;
  return [
    c * k,
    s * k,
    -s * k,
    c * k,
    frame.widthPx / 2 - (cx * c - cy * s) * k,
    frame.heightPx / 2 - (cx * s + cy * c) * k,
  ];
}

/** The view that zooms by a factor and leaves the place under `at` where it is. */
export function zoomedAt(frame: Frame, factor: number, at: StagePoint, zoomRange: readonly [number, number]): View {
  const zoom = Math.min(zoomRange[1], Math.max(zoomRange[0], frame.zoom * factor));
  const held = toPhoto(frame, at);
  const [dx, dy] = toPhotoStep({ turnDeg: frame.turnDeg, zoom }, at[0] - frame.widthPx / 2, at[1] - frame.heightPx / 2);
  return { centre: photoPoint(held[0] - dx, held[1] - dy), zoom };
}

/**
 * The view that shows a whole picture, as large as it fits.
 *
 * @param margin – share of the stage left free all round, 0–0.5.
 */
export function fittedView(frame: Frame, pictureWidthPx: number, pictureHeightPx: number, margin = 0.02): View {
  const [c, s] = turnOf(frame.turnDeg);
  const w = Math.abs(pictureWidthPx * c) + Math.abs(pictureHeightPx * s);
  const h = Math.abs(pictureWidthPx * s) + Math.abs(pictureHeightPx * c);
  const room = 1 - 2 * margin;
  const zoom = Math.min((frame.widthPx * room) / w, (frame.heightPx * room) / h);
  return { centre: photoPoint(pictureWidthPx / 2, pictureHeightPx / 2), zoom: zoom > 0 ? zoom : 1 };
}
