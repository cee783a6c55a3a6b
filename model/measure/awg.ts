import { MeasureError } from "./measure-error.ts";
import { inchToMm, mmToInch } from "./units.ts";
import type { Inches, Millimetres } from "./units.ts";

/** Gauge numbers as counted: 0000 is −3, 000 is −2, 00 is −1, then 0 to 56. */
export const AWG_LARGEST = -3;
export const AWG_SMALLEST = 56;

/**
 * Diameter of a gauge number in inches by the defining geometric series: 0.46 in for 0000 and 0.005 in for 36, 39 steps between.
 *
 * @param gauge – 0000 is −3 … 56; need not be whole.
 * @source ASTM B258, American Wire Gage; from memory.
 */
export const awgToInch = (gauge: number): Inches => (0.005 * 92 ** ((36 - gauge) / 39)) as Inches;

export const awgToMm = (gauge: number): Millimetres => inchToMm(awgToInch(gauge));

/**
 * Diameter as the standard's table prints it: to 0.0001 in down to size 44, to 0.00001 in below.
 *
 * @throws MeasureError `not-a-number` for a size that is not in the table.
 * @source ASTM B258, table of nominal diameters; rounding from memory.
 */
export function awgTableInch(gauge: number): Inches {
  if (!Number.isInteger(gauge) || gauge < AWG_LARGEST || gauge > AWG_SMALLEST)
    throw new MeasureError("not-a-number", "AWG sizes run from 0000 to 56. Type the diameter in mm instead.");
  const places = gauge <= 44 ? 1e4 : 1e5;
  return (Math.round(awgToInch(gauge) * places) / places) as Inches;
}

/**
 * Gauge number of a diameter, not rounded.
 *
 * @throws MeasureError `diameter-not-positive`.
 */
export function mmToAwg(mm: Millimetres | number): number {
  if (!(mm > 0)) throw new MeasureError("diameter-not-positive", "A wire diameter is greater than zero.");
  return 36 - (39 * Math.log(mmToInch(mm) / 0.005)) / Math.log(92);
}

/** "0000" for −3 … "12" for 12. */
export const awgName = (gauge: number): string => (gauge < 0 ? "0".repeat(1 - gauge) : String(gauge));

/** Counted gauge number of a written size ("0000", "4/0", "12"); null when it is not one. */
export function awgFromName(name: string): number | null {
  const text = name.trim();
  const aught = /^([1-4])\/0$/.exec(text);
  if (aught) return 1 - Number(aught[1]);
  if (/^0{1,4}$/.test(text)) return 1 - text.length;
  if (!/^[1-9]\d?$/.test(text)) return null;
  const gauge = Number(text);
  return gauge <= AWG_SMALLEST ? gauge : null;
}

/** How a diameter stands among the sizes: the size it is within `tolerancePct` of, or the two it lies between. */
export function describeAwg(mm: Millimetres | number, tolerancePct = 1): string {
  const exactGauge = mmToAwg(mm);
  const nearest = Math.round(exactGauge);
  if (exactGauge < AWG_LARGEST - 0.5) return "larger than 0000 AWG";
  if (exactGauge > AWG_SMALLEST + 0.5) return "smaller than 56 AWG";
  if (Math.abs(mm / awgToMm(nearest) - 1) * 100 <= tolerancePct) return `${awgName(nearest)} AWG`;
  const lower = Math.floor(exactGauge);
  return `between ${awgName(lower)} and ${awgName(lower + 1)} AWG`;
}
