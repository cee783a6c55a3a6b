import type { FocusMap } from "../../model/picture/stack/focus-map.ts";
import type { Placement } from "../../model/picture/stack/placement.ts";

/** A series read: where each cell is sharpest. The frame of origin of every pixel follows from `map` (`originOfRow`). */
export interface ReadStack {
  readonly map: FocusMap;
  /** Of each frame on the reference frame, px of the full size. */
  readonly placements: readonly Placement[];
  readonly reference: number;
  /** px of the photograph per px worked on. */
  readonly shrunkBy: number;
  readonly widthPx: number;
  readonly heightPx: number;
  /** Largest change of magnification against the reference frame, as a share. */
  readonly breathing: number;
  /** Smallest correlation of neighbours once aligned. */
  readonly worstFit: number;
}

/** The sharp composite, ready to be filed as a photograph. */
export interface Composite {
  /** PNG at full size. */
  readonly blob: Blob;
  readonly hash: string;
  readonly thumbnail: Blob;
}

export type StackRequests = {
  readonly stack: {
    readonly input: { readonly frames: readonly Blob[]; readonly compose: boolean };
    readonly output: ReadStack & { readonly composite: Composite | null };
  };
};
export type OutputOfStack = StackRequests["stack"]["output"];
