import type { Clipped } from "../../model/picture/live/clipped.ts";

export interface LiveReading {
  /** Percent of the mean brightness per px, see `focusNumber`. */
  readonly focus: number;
  readonly clipped: Clipped;
}

export type LiveRequests = {
  readonly read: {
    readonly input: {
      /** The middle of the frame at full resolution. */
      readonly centre: ImageBitmap;
      /** The whole frame with pixels left out, not averaged: averaging would hide small highlights. */
      readonly small: ImageBitmap;
    };
    readonly output: LiveReading;
  };
};
