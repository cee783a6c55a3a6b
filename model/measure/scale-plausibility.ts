import { MeasureError } from "./measure-error.ts";

/** Length per pixel from a scale bar, µm/px. @throws MeasureError `not-a-number` when either is not above zero. */
export function umPerPxFromBar(barUm: number, barPx: number): number {
  if (!(barUm > 0) || !(barPx > 0)) throw new MeasureError("not-a-number", "The bar needs a length above zero.");
  return barUm / barPx;
}

export interface FieldCheck {
  readonly umPerPx: number;
  readonly fieldUmPerPx: number;
  /** (bar − field)/field, percent. */
  readonly differencePct: number;
  readonly agrees: boolean;
}

/**
 * Cross-check of a scale bar against the stated width of the field of view.
 *
 * @param bar – length, µm, and its end points along the bar, px, each placed within `placingPx`.
 * @param field – width of the view, µm, and of the picture, px (exact).
 */
export function checkBarAgainstField(
  bar: { readonly um: number; readonly fromPx: number; readonly toPx: number; readonly placingPx: number },
  field: { readonly um: number; readonly px: number },
): FieldCheck {
  const barPx = Math.abs(bar.toPx - bar.fromPx);
  const umPerPx = umPerPxFromBar(bar.um, barPx);
  const fieldUmPerPx = umPerPxFromBar(field.um, field.px);
  const differencePct = (100 * (umPerPx - fieldUmPerPx)) / fieldUmPerPx;
  const uPct = (100 * Math.SQRT2 * bar.placingPx) / barPx;
  return { umPerPx, fieldUmPerPx, differencePct, agrees: Math.abs(differencePct) <= 2 * uPct };
}

/** Magnification as instruments write it: "4910x", "98X", "98 ×"; null when none is given. */
export function parseMagnification(text: string): number | null {
  const match = /^(\d+(?:\.\d+)?)\s*[xX×]?$/.exec(text.trim());
  const value = match ? Number(match[1]) : 0;
  return value > 0 ? value : null;
}

/** One scale record: a bar with the magnification stated beside it. */
export interface BarRecord {
  readonly barUm: number;
  readonly barPx: number;
  readonly magnification: number;
}

/**
 * The instrument's constant: length per pixel times magnification, µm/px at 1×. It is one number for one instrument and
 * picture size, so a bar that does not fit it was read or typed wrongly.
 *
 * @returns the median over the records, which a few wrong ones do not move.
 * @throws MeasureError `too-few` for no records.
 * @source common practice, no source
 */
export function magnificationConstant(records: readonly BarRecord[]): number {
  const sorted = records.map(constantOf).sort((a, b) => a - b);
  const low = sorted[Math.floor((sorted.length - 1) / 2)];
  const high = sorted[Math.floor(sorted.length / 2)];
  if (low === undefined || high === undefined)
    throw new MeasureError("too-few", "At least one scale record with a magnification is needed.");
  return (low + high) / 2;
}

const constantOf = (record: BarRecord) => umPerPxFromBar(record.barUm, record.barPx) * record.magnification;

/** Largest distance from the instrument's constant that still counts as fitting, percent: rounding of a bar of about 100 px. @source common practice, no source */
export const CONSTANT_TOLERANCE_PCT = 1.5;

export interface ConstantCheck {
  readonly differencePct: number;
  readonly fits: boolean;
  readonly warning: string | null;
}

/** Whether a bar and its magnification fit the instrument's constant, µm/px at 1×. */
export function checkMagnification(
  record: BarRecord,
  constant: number,
  tolerancePct: number = CONSTANT_TOLERANCE_PCT,
): ConstantCheck {
  const differencePct = (100 * (constantOf(record) - constant)) / constant;
  const fits = Math.abs(differencePct) <= tolerancePct;
  const warning = fits
    ? null
    : `The bar and the magnification do not fit together: ${Math.abs(differencePct).toFixed(1)} % off this instrument's constant. Check the unit and the length of the bar.`;
  return { differencePct, fits, warning };
}
