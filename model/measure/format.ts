import type { MeasureUnit } from "../evidence/features.ts";
import type { MeasureValue } from "../evidence/observations.ts";
import { describeAwg } from "./awg.ts";
import { mmToInch } from "./units.ts";
import type { LengthUnit } from "./units.ts";

/** Expanded uncertainty factor used on screens and sheets: about 95 % for a normal spread. @source JCGM 100:2008, 6.2.1; from memory. */
export const COVERAGE_FACTOR = 2;

/** Below this reduction of area (percent) the words stand first. @source common practice, no source */
export const LITTLE_NECKING_BELOW_PCT = 15;
export const LITTLE_NECKING = "little or no necking";

export interface FormatChoice {
  /** "expanded" prints ± k·u and names k; "standard" prints u. */
  readonly show?: "expanded" | "standard" | "value-only";
  readonly k?: number;
}

/**
 * Decimal place to which an uncertainty is quoted: two significant digits when it begins with 1 or 2, else one.
 *
 * @returns number of decimals, negative for tens and hundreds.
 * @source JCGM 100:2008, 7.2.6 (at most two significant digits); the choice between one and two: common practice, no source.
 */
export function decimalsFor(uncertainty: number): number {
  const digitsAt = (digits: number) => digits - 1 - Math.floor(Math.log10(roundSignificant(uncertainty, digits)));
  const two = roundSignificant(uncertainty, 2);
  const lead = two / 10 ** Math.floor(Math.log10(two));
  return lead < 2.95 ? digitsAt(2) : digitsAt(1);
}

const roundSignificant = (x: number, digits: number) => Number(x.toPrecision(digits));

function fixed(value: number, decimals: number): string {
  if (decimals >= 0) {
    const text = value.toFixed(Math.min(decimals, 20));
    return Number(text) === 0 ? text.replace("-", "") : text.replace("-", "−");
  }
  const step = 10 ** -decimals;
  return String(Math.round(value / step) * step).replace("-", "−");
}

/** Value and uncertainty as text, rounded to the same place; uncertainty null = not stated. */
export function roundTogether(
  value: number,
  uncertainty: number | null,
): { value: string; uncertainty: string | null } {
  if (uncertainty === null) return { value: String(roundSignificant(value, 3)).replace("-", "−"), uncertainty: null };
  if (uncertainty === 0) return { value: String(roundSignificant(value, 6)).replace("-", "−"), uncertainty: "0" };
  const decimals = decimalsFor(uncertainty);
  return { value: fixed(value, decimals), uncertainty: fixed(uncertainty, decimals) };
}

function withUnit(value: number, u: number | null, unit: string, choice: FormatChoice): string {
  const { show = "expanded", k = COVERAGE_FACTOR } = choice;
  const quoted = u === null ? null : show === "standard" ? u : k * u;
  const text = roundTogether(value, quoted);
  const gap = unit === "" ? "" : unit === "°" ? unit : ` ${unit}`;
  if (show === "value-only") return `${text.value}${gap}`;
  if (text.uncertainty === null) return `${text.value}${gap} (uncertainty not stated)`;
  if (show === "standard") return `${text.value}${gap} (u = ${text.uncertainty}${gap})`;
  return `${text.value}${gap} ± ${text.uncertainty}${gap} (k = ${k})`;
}

/**
 * A length in the unit a person likes. AWG has no fractions, so it is given in mm with the size it is near.
 *
 * @param mm – length, mm. @param u – standard uncertainty, mm; null = not stated.
 */
export function formatLength(mm: number, u: number | null, unit: LengthUnit, choice: FormatChoice = {}): string {
  switch (unit) {
    case "mm":
      return withUnit(mm, u, "mm", choice);
    case "inch":
      return withUnit(mmToInch(mm), u === null ? null : mmToInch(u), "in", choice);
    case "AWG":
      return mm > 0 ? `${withUnit(mm, u, "mm", choice)}, ${describeAwg(mm)}` : withUnit(mm, u, "mm", choice);
  }
}

const UNIT_TEXT: Readonly<Record<MeasureUnit, string>> = {
  mm: "mm",
  µm: "µm",
  "%": "%",
  "°": "°",
  D: "D",
  "1": "",
  count: "",
  clock: "o’clock",
  HV: "HV",
  "/100D": "in 100 D",
};

/** What a formatted measure needs; a `Measure` fits. */
export interface Formattable {
  readonly key: string;
  readonly value: MeasureValue;
  readonly unit: MeasureUnit | null;
  readonly u: number | null;
}

/**
 * A measure as it stands at the mark and on the sheet, with unit and uncertainty.
 *
 * Counts carry no uncertainty. Reduction of area below 15 % comes with the words, because a small neck is hard to measure.
 */
export function formatMeasure(measure: Formattable, unit: LengthUnit = "mm", choice: FormatChoice = {}): string {
  const { value, u } = measure;
  if (typeof value === "boolean") return value ? "yes" : "no";
  if (typeof value === "string") return value.replaceAll("_", " ");
  if (measure.unit === "mm") return formatLength(value, u, unit, choice);
  if (measure.unit === "count") return String(value);
  const text = withUnit(value, u, measure.unit === null ? "" : UNIT_TEXT[measure.unit], choice);
  return measure.key === "ra_pct" && value < LITTLE_NECKING_BELOW_PCT ? `${LITTLE_NECKING}: ${text}` : text;
}
