import type { Proposals } from "../../model/picture/propose/proposals.ts";
import type { ShownAs } from "../../model/picture/shown-as.ts";

/** Longest side of the copy in which marks are looked for, px. */
export const LOOKED_AT_PX = 1600;

export type ProposeRequests = {
  readonly propose: {
    readonly input: {
      readonly blob: Blob;
      /** Page and tone of the photograph; left out = as it comes. */
      readonly shown?: ShownAs;
      readonly view: "end_on" | "side";
      /** Pixels of the photograph per millimetre; null = unknown. */
      readonly pxPerMm: number | null;
      /** Known wire diameter, mm; null = unknown. */
      readonly wireMm: number | null;
    };
    /** Geometry in pixels of the upright photograph. */
    readonly output: Proposals;
  };
};
