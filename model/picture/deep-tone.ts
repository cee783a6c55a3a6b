/** Kind of the samples of a deep file. */
export type DeepSample = "uint16" | "uint32" | "int16" | "int32" | "float32" | "float64";

/** How the samples of a deep file (more than 8 bits) become the 8-bit picture that is shown. */
export interface DeepTone {
  /** Kind of the stored samples. */
  readonly sample: DeepSample;
  /** Sample value shown black, in the file's own numbers. */
  readonly black: number;
  /** Sample value shown white; above `black`. */
  readonly white: number;
  readonly chosen: "stated-in-file" | "from-the-pixels" | "by-a-person";
}

const DEPTH: Readonly<Record<DeepSample, string>> = {
  uint16: "16 bit",
  uint32: "32 bit",
  int16: "16 bit signed",
  int32: "32 bit signed",
  float32: "32-bit floating point",
  float64: "64-bit floating point",
};
const CHOSEN: Readonly<Record<DeepTone["chosen"], string>> = {
  "stated-in-file": "as the file states",
  "from-the-pixels": "chosen from the pixels",
  "by-a-person": "set by a person",
};

/** @returns a sample value as people read it: whole numbers whole, others with six digits. */
export const sampleText = (value: number): string =>
  Number.isInteger(value) && Math.abs(value) < 1e15 ? String(value) : String(Number(value.toPrecision(6)));

export const depthText = (sample: DeepSample): string => DEPTH[sample];

/** @returns for example "black 512 to white 30210 of 16 bit, chosen from the pixels". */
export function toneText({ sample, black, white, chosen }: DeepTone): string {
  return `black ${sampleText(black)} to white ${sampleText(white)} of ${DEPTH[sample]}, ${CHOSEN[chosen]}`;
}

/** @returns whether black and white can be used: finite, white above black. */
export const isTone = (black: number, white: number): boolean =>
  Number.isFinite(black) && Number.isFinite(white) && white > black;
