/**
 * What a face function says about one place of the break surface.
 * `h` is the break surface itself, radii, positive downstream (toward the take-up end). The machine end lies below
 * it and the take-up end above it, so both ends mate by construction; `cutM` and `cutT` are metal that is missing
 * from either end (a void, a gap round a particle).
 */
export interface FaceSample {
  h: number;
  cutM: number;
  cutT: number;
  /** Roughness of the micro-surface, 0 mirror – 1 matt. */
  rough: number;
  /** Brightness and colour against the torn metal. */
  r: number;
  g: number;
  b: number;
  /** 1 where a foreign particle lies; it stays in the machine end. */
  particle: number;
  /** Torn and scattering (1) or clean reflecting metal (0). */
  torn: number;
}

export const newSample = (): FaceSample => ({
  h: 0,
  cutM: 0,
  cutT: 0,
  rough: 0.5,
  r: 1,
  g: 1,
  b: 1,
  particle: 0,
  torn: 1,
});

/**
 * One break surface.
 *
 * @param y, z – place in the wire's cross-section, wire radii: the scale of textures.
 * @param u, v – the same place with the rim's middle as origin and the rim's radius as unit: the scale of shapes.
 * @param k – rim radius in wire radii: multiplies shape heights given in rim radii.
 */
export type Face = (y: number, z: number, u: number, v: number, k: number, out: FaceSample) => void;

/** Sets all optics at once; written so that the face files read as lists of zones. */
export function look(out: FaceSample, rough: number, grey: number, torn: number): void {
  out.rough = rough;
  out.r = grey;
  out.g = grey;
  out.b = grey;
  out.torn = torn;
}
