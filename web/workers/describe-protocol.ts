import type { OutlineEllipse } from "../../model/picture/face/disc.ts";
import type { ShownAs } from "../../model/picture/shown-as.ts";

/** Longest side of the copy whose face is put in numbers, px. */
export const DESCRIBED_PX = 1600;

export type DescribeRequests = {
  readonly describe: {
    readonly input: {
      readonly blob: Blob;
      readonly shown: ShownAs;
      /** Of the wire, px of the upright photograph in full size. */
      readonly outline: OutlineEllipse;
    };
    /** One value per `FACE_NUMBERS`. */
    readonly output: Float32Array;
  };
};
