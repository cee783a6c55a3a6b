import { AgreementError } from "./agreement-error.ts";
import type { ReadingTable } from "./reading-table.ts";
import { readBoth } from "./reading-table.ts";

/**
 * How much a pair of labels counts as agreement: only the same label; less with every step between ordered labels; less
 * with the square of the steps; or a table of one's own, 1 on the diagonal and at most 1 elsewhere.
 */
export type AgreementWeights = "same-only" | "by-steps" | "by-squared-steps" | readonly (readonly number[])[];

export interface Kappa {
  /** 1 = always agreed, 0 = no better than by chance, below 0 = worse. */
  readonly kappa: number;
  /** Standard error of `kappa`. */
  readonly se: number;
  /** Standard error if there were no agreement beyond chance, for a test against 0. */
  readonly seWithoutAgreement: number;
  /** 95 % confidence interval, cut at -1 and 1. */
  readonly low: number;
  readonly high: number;
  /** Weighted share of agreement seen, and the share expected by chance. */
  readonly observed: number;
  readonly expected: number;
  /** Breaks both readers read. */
  readonly breaks: number;
}

/** Two-sided 95 % point of the normal distribution. */
export const Z95 = 1.959963984540054;

/**
 * Agreement of two readers beyond chance.
 *
 * @throws AgreementError too-few (no break, or one), no-variation (both always gave one label: nothing to compare),
 * wrong-weights.
 * @source Cohen 1960 (Educ. Psychol. Meas. 20, 37); weights: Cohen 1968 (Psychol. Bull. 70, 213); standard errors:
 * Fleiss, Cohen & Everitt 1969 (Psychol. Bull. 72, 323).
 */
export function cohenKappa(table: ReadingTable, weights: AgreementWeights = "same-only"): Kappa {
  const breaks = readBoth(table);
  if (breaks < 2)
    throw new AgreementError(
      "too-few",
      `Agreement needs at least two breaks that both readers read; there ${breaks === 1 ? "is one" : "is none"}.`,
      "Let the second reader read more breaks.",
    );
  const size = table.labels.length;
  const w = weightTable(weights, size);
  const p = table.counts.map((row) => row.map((n) => n / breaks));
  const rows = p.map(total);
  const columns = p.map((_, j) => total(p.map((row) => row[j]!)));
  const sum = (term: (i: number, j: number) => number): number =>
    total(rows.map((_, i) => total(columns.map((_, j) => term(i, j)))));
  const observed = sum((i, j) => w[i]![j]! * p[i]![j]!);
  const expected = sum((i, j) => w[i]![j]! * rows[i]! * columns[j]!);
  if (1 - expected < 1e-12)
    throw new AgreementError(
      "no-variation",
      "Both readers gave one and the same label to every break, so chance alone explains all agreement.",
      "Let both read breaks of more than one type.",
    );
  const kappa = (observed - expected) / (1 - expected);
  const rowMean = rows.map((_, i) => total(columns.map((c, j) => c * w[i]![j]!)));
  const columnMean = columns.map((_, j) => total(rows.map((r, i) => r * w[i]![j]!)));
  const spread = sum((i, j) => p[i]![j]! * (w[i]![j]! - (rowMean[i]! + columnMean[j]!) * (1 - kappa)) ** 2);
  const byChance = sum((i, j) => rows[i]! * columns[j]! * (w[i]![j]! - (rowMean[i]! + columnMean[j]!)) ** 2);
  const share = 1 - expected;
  const deviation = (variance: number): number => Math.sqrt(Math.max(0, variance) / breaks) / share;
  const se = deviation(spread - (kappa - expected * (1 - kappa)) ** 2);
  return {
    kappa,
    se,
    seWithoutAgreement: deviation(byChance - expected ** 2),
    low: Math.max(-1, kappa - Z95 * se),
    high: Math.min(1, kappa + Z95 * se),
    observed,
    expected,
    breaks,
  };
}

function weightTable(weights: AgreementWeights, size: number): readonly (readonly number[])[] {
  if (typeof weights !== "string") {
    const right =
      weights.length === size &&
      weights.every((row, i) => row.length === size && row[i] === 1 && row.every((w) => Number.isFinite(w) && w <= 1));
    if (right) return weights;
    throw new AgreementError(
      "wrong-weights",
      `The weights must be ${size} × ${size} numbers up to 1, with 1 where both labels are the same.`,
      "Give one row and one column per label.",
    );
  }
  const steps = Math.max(1, size - 1);
  const of = (d: number): number =>
    weights === "same-only" ? (d === 0 ? 1 : 0) : weights === "by-steps" ? 1 - d / steps : 1 - (d / steps) ** 2;
  return Array.from({ length: size }, (_, i) => Array.from({ length: size }, (_, j) => of(Math.abs(i - j))));
}

const total = (list: readonly number[]): number => list.reduce((sum, n) => sum + n, 0);
