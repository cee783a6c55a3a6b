import type { EndSide, Photograph, WireBreak } from "../break/wire-break.ts";
import { END_SIDES } from "../break/wire-break.ts";
import { observe } from "../measure/observe.ts";
import { describeFace } from "../picture/face/describe-face.ts";
import type { OutlineEllipse } from "../picture/face/disc.ts";
import { describeColour } from "../picture/face/face-colour.ts";
import { greyOf, type Raster } from "../picture/pixels/grey.ts";
import { describeSide } from "../picture/side-view/describe-side.ts";
import type { EdgesGeometry } from "../picture/side-view/wire-strip.ts";
import { vectorOf } from "./vector.ts";
import type { ViewNumbers } from "./view-columns.ts";

/** Longest side of the copy of a photograph that is put in numbers, px. */
export const DESCRIBED_PX = 1600;

/** The wire as drawn on a view: an ellipse end-on, two edges from the side. */
export type ViewOutline = OutlineEllipse | EdgesGeometry;

/** A view whose numbers can be taken: an end-on or side view with a drawn wire outline. */
export interface ViewToDescribe {
  readonly side: EndSide;
  readonly photograph: Photograph;
  /** px of the upright photograph in full size. */
  readonly outline: ViewOutline;
}

/** Of each end its first end-on view and all its side views, as far as the wire is outlined on them. */
export function viewsToDescribe(wireBreak: WireBreak): readonly ViewToDescribe[] {
  return END_SIDES.flatMap((side) => {
    const { photographs, marks } = wireBreak.ends[side];
    const found = photographs.flatMap((photograph): ViewToDescribe[] => {
      const wanted = photograph.view === "end_on" ? "ellipse" : photograph.view.startsWith("side_") ? "edges" : null;
      for (const { feature, state, photographId, geometry } of marks)
        if (feature === "wire_outline" && state === "present" && photographId === photograph.id)
          if (geometry !== null && geometry.type === wanted) return [{ side, photograph, outline: geometry }];
      return [];
    });
    const face = found.find((v) => v.outline.type === "ellipse");
    return [...(face ? [face] : []), ...found.filter((v) => v.outline.type === "edges")];
  });
}

/** Changes exactly when the pixels or the outline that the numbers of a view come from change. */
export const viewKey = ({ photograph, outline }: ViewToDescribe): string =>
  [
    photograph.hash,
    photograph.page ?? 0,
    ...(outline.type === "ellipse"
      ? [outline.cx, outline.cy, outline.rx, outline.ry, outline.angle_deg]
      : outline.points.flat()),
  ].join(" ");

/**
 * Puts one view in numbers.
 *
 * @param raster – upright, at most `DESCRIBED_PX` on its longest side.
 * @param outline – px of the photograph in full size. @param shrunkBy – size of the photograph over size of the raster.
 * @returns values of `ViewNumbers`; empty when the outline is too small or crosses itself.
 */
export function describeView(raster: Raster, outline: ViewOutline, shrunkBy: number): Float32Array {
  if (outline.type === "ellipse") {
    const { cx, cy, rx, ry, angle_deg } = outline;
    const by = (v: number): number => v / shrunkBy;
    const small: OutlineEllipse = { type: "ellipse", cx: by(cx), cy: by(cy), rx: by(rx), ry: by(ry), angle_deg };
    return Float32Array.from([...describeFace(greyOf(raster), small), ...describeColour(raster, small)]);
  }
  const [a, b, c, d] = outline.points.map(([x, y]) => [x / shrunkBy, y / shrunkBy] as const);
  const edges: EdgesGeometry = { type: "edges", points: [a!, b!, c!, d!] };
  return describeSide(raster, edges) ?? new Float32Array(0);
}

/**
 * The numbers of a break, one per `COLUMN_NAMES`; NaN is missing.
 *
 * @param views – numbers of `viewsToDescribe`, as far as they are known.
 */
export const numbersOfBreak = (wireBreak: WireBreak, views: readonly ViewNumbers[]): Float32Array =>
  vectorOf(observe(wireBreak), views);
