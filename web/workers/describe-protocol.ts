import type { ViewOutline } from "../../model/classifier/of-break.ts";
import type { ShownAs } from "../../model/picture/shown-as.ts";

export type DescribeRequests = {
  readonly describe: {
    readonly input: {
      readonly blob: Blob;
      readonly shown: ShownAs;
      /** Of the wire, px of the upright photograph in full size. */
      readonly outline: ViewOutline;
    };
    /** Values of `ViewNumbers`; empty when the outline is no frame. */
    readonly output: Float32Array;
  };
};
