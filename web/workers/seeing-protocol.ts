import type { FlatField } from "../../model/picture/seeing/flat-field.ts";
import type { Patch } from "../../model/picture/seeing/neutral.ts";
import type { SeeingAids } from "../../model/picture/seeing/see.ts";
import type { PlainSeeingError } from "../../model/picture/seeing/seeing-error.ts";
import type { ShownAs } from "../../model/picture/shown-as.ts";
import type { RgbGains, ViewSettings } from "../../model/picture/view-settings.ts";

/** A blank frame or patch that is not used is an answer, not a failure of the thread. */
export type Told<T> =
  { readonly found: T; readonly refused: null } | { readonly found: null; readonly refused: PlainSeeingError };

export type SeeingRequests = {
  /** Reads a blank frame. */
  readonly blank: {
    readonly input: { readonly blob: Blob; readonly shown: ShownAs };
    readonly output: Told<FlatField>;
  };
  /** Reads a grey patch from a cut-out of a photograph; the thread closes it. */
  readonly patch: {
    readonly input: {
      readonly cut: ImageBitmap;
      readonly left: number;
      readonly top: number;
      readonly widthPx: number;
      readonly heightPx: number;
      readonly patch: Patch;
      readonly field: FlatField | null;
    };
    readonly output: Told<RgbGains>;
  };
  /** Applies view settings; the thread closes the bitmap it was given. The receiver closes those it gets. */
  readonly see: {
    readonly input: {
      readonly bitmap: ImageBitmap;
      readonly settings: ViewSettings;
      readonly aids: SeeingAids;
      /** Whether half, quarter, … sizes are made as well. */
      readonly levels: boolean;
    };
    readonly output: readonly ImageBitmap[];
  };
};
