/** Linear RGB, 0–1. */
export type Rgb = readonly [number, number, number];

export interface Metal {
  readonly name: "copper" | "aluminium" | "steel";
  /** Reflectance looking straight on. Common values for clean metal, from memory; dulled a little for a shop surface. */
  readonly reflectance: Rgb;
  /** Colour of the torn metal, which scatters more and looks duller. */
  readonly torn: Rgb;
}

export const METALS: Readonly<Record<Metal["name"], Metal>> = {
  copper: { name: "copper", reflectance: [0.93, 0.47, 0.27], torn: [0.74, 0.345, 0.2] },
  aluminium: { name: "aluminium", reflectance: [0.9, 0.91, 0.92], torn: [0.68, 0.69, 0.7] },
  steel: { name: "steel", reflectance: [0.45, 0.455, 0.465], torn: [0.31, 0.31, 0.315] },
};
