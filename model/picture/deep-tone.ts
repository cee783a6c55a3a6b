/** How the samples of a deep file (more than 8 bits) become the 8-bit picture that is shown. */
export interface DeepTone {
  /** Kind of the stored samples. */
  readonly sample: "uint16" | "uint32" | "int16" | "int32" | "float32" | "float64";
  /** Sample value shown black, in the file's own numbers. */
  readonly black: number;
  /** Sample value shown white; above `black`. */
  readonly white: number;
  readonly chosen: "stated-in-file" | "from-the-pixels" | "by-a-person";
}
