import type { StatedDensity } from "./header.ts";

/** A pixel size that a file states. It is a hint to hold against the known wire diameter, never a scale. */
export interface ResolutionHint {
  readonly pxPerMm: number;
  /** Plain sentence: where it comes from and what it is worth. */
  readonly reason: string;
}

/**
 * Print sizes that cameras and programs write into every file, pixels per inch (25.4 is 1 px/mm, a program's "not known").
 * Common practice, no source.
 */
const PRINT_DPI = [
  25.4, 72, 75, 90, 96, 100, 120, 144, 150, 180, 200, 220, 240, 250, 254, 300, 350, 360, 400, 500, 600, 720, 800, 1000,
  1200, 2400, 4800,
];
const MM_PER = { inch: 25.4, cm: 10, m: 1000 } as const;

/**
 * @returns a hint when both values are finite, positive, equal within 1 % and no usual print value; else null.
 */
export function resolutionHint(density: StatedDensity | null): ResolutionHint | null {
  if (!density) return null;
  const { x, y, unit, from } = density;
  if (!Number.isFinite(x) || !Number.isFinite(y) || x <= 0 || y <= 0) return null;
  if (Math.abs(x - y) > 0.01 * Math.max(x, y)) return null;
  const pxPerMm = (x + y) / 2 / MM_PER[unit];
  const dpi = pxPerMm * MM_PER.inch;
  // 1 px/mm to 100 px/µm: what a macro lens or a microscope can do; the rest is nonsense or a print size.
  if (pxPerMm < 1 || pxPerMm > 100_000) return null;
  if (PRINT_DPI.some((print) => Math.abs(dpi - print) <= 0.005 * print)) return null;
  const value = pxPerMm.toPrecision(4);
  return { pxPerMm, reason: `${from} says ${value} px/mm. It is a hint only: check it against the wire diameter.` };
}
