import type { FaceComparison, FaceLaying } from "../../model/picture/mating/compare-faces.ts";
import type { FaceOutline } from "../../model/picture/mating/flat-face.ts";
import type { MatingFault } from "../../model/picture/mating/mating-error.ts";
import type { ShownAs } from "../../model/picture/shown-as.ts";

/** Longest side of the copies that are compared, px. */
export const COMPARED_PX = 1100;
/** Side of the square pictures to lay over each other, px. */
export const SHOWN_FACE_PX = 640;
/** Wire radius on them, px. */
export const SHOWN_RADIUS_PX = 280;

export interface FaceFile {
  readonly blob: Blob;
  readonly shown: ShownAs;
  /** Pixels of the upright photograph. */
  readonly outline: FaceOutline;
}

/** Errors lose their class on the way between threads: a refusal crosses as a value. */
export type Compared =
  | { readonly comparison: FaceComparison }
  | { readonly refused: { readonly code: MatingFault; readonly message: string; readonly nextStep: string } };

export type FacesRequests = {
  readonly compare: {
    readonly input: {
      readonly machine: FaceFile;
      readonly takeUp: FaceFile;
      /** Where a hand laid it; null = search all turns. */
      readonly start: FaceLaying | null;
    };
    readonly output: Compared;
  };
  /** One face cut out round its outline, `SHOWN_FACE_PX` square. The receiver closes the bitmap. */
  readonly cut: {
    readonly input: { readonly face: FaceFile; readonly mirrored: boolean };
    readonly output: ImageBitmap;
  };
};
