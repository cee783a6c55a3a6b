/**
 * How a photograph is looked at: shown and printed so, never written into the picture. Marks, measures and proposals
 * read the original pixels.
 */
export interface ViewSettings {
  /** Brighter (+) or darker (−) in stops, −4 … 4. */
  readonly exposureEv: number;
  /** −1 … 1; 0 leaves the contrast as it is. */
  readonly contrast: number;
  /** Contrast evened out over the picture, 0 none … 1 full. */
  readonly localContrast: number;
  /** A frame of blank ground in the same light; the photograph is divided by it. Kept as an original under its hash. */
  readonly flatField: { readonly hash: string; readonly fileName: string } | null;
  readonly neutral: NeutralPatch | null;
}

/** A patch known to be grey: its middle and radius, px of the upright photograph it lies on. */
export interface NeutralPatch {
  readonly x: number;
  readonly y: number;
  readonly radiusPx: number;
  /** Set when the patch lies on another photograph taken in the same light; left out = on this one. */
  readonly from?: {
    readonly hash: string;
    readonly fileName: string;
    /** What red, green and blue light were multiplied by there. */
    readonly gains: RgbGains;
  };
}
export type RgbGains = readonly [red: number, green: number, blue: number];

export const PLAIN_VIEW: ViewSettings = {
  exposureEv: 0,
  contrast: 0,
  localContrast: 0,
  flatField: null,
  neutral: null,
};

/** True when the photograph is shown exactly as it was taken. */
export const isPlainView = (view: ViewSettings | undefined): boolean =>
  view === undefined ||
  (view.exposureEv === 0 &&
    view.contrast === 0 &&
    view.localContrast === 0 &&
    view.flatField === null &&
    view.neutral === null);
