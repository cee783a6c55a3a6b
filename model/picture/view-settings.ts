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
  /** A patch known to be grey: its middle and radius, px of the upright photograph. */
  readonly neutral: { readonly x: number; readonly y: number; readonly radiusPx: number } | null;
}

export const PLAIN_VIEW: ViewSettings = {
  exposureEv: 0,
  contrast: 0,
  localContrast: 0,
  flatField: null,
  neutral: null,
};
