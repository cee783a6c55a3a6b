import type { EndSide, Photograph, WireBreak } from "../break/wire-break.ts";
import { END_SIDES } from "../break/wire-break.ts";
import { observe } from "../measure/observe.ts";
import type { OutlineEllipse } from "../picture/face/disc.ts";
import type { FaceNumbers } from "./face-columns.ts";
import { vectorOf } from "./vector.ts";

/** A fracture face whose numbers can be taken: an end-on view with a drawn wire outline. */
export interface FaceToDescribe {
  readonly side: EndSide;
  readonly photograph: Photograph;
  /** px of the upright photograph in full size. */
  readonly outline: OutlineEllipse;
}

/** The face of each end: its first end-on view with a wire outline drawn on it. */
export function facesToDescribe(wireBreak: WireBreak): readonly FaceToDescribe[] {
  return END_SIDES.flatMap((side) => {
    const { photographs, marks } = wireBreak.ends[side];
    for (const photograph of photographs) {
      if (photograph.view !== "end_on") continue;
      for (const { feature, state, photographId, geometry } of marks)
        if (feature === "wire_outline" && state === "present" && photographId === photograph.id)
          if (geometry?.type === "ellipse") return [{ side, photograph, outline: geometry }];
    }
    return [];
  });
}

/** Changes exactly when the pixels or the outline that the numbers of a face come from change. */
export const faceKey = ({ photograph, outline }: FaceToDescribe): string =>
  [photograph.hash, photograph.page ?? 0, outline.cx, outline.cy, outline.rx, outline.ry, outline.angle_deg].join(" ");

/**
 * The numbers of a break, one per `COLUMN_NAMES`; NaN is missing.
 *
 * @param faces – numbers of `facesToDescribe`, as far as they are known.
 */
export const numbersOfBreak = (wireBreak: WireBreak, faces: readonly FaceNumbers[]): Float32Array =>
  vectorOf(observe(wireBreak), faces);
