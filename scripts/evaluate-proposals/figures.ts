import type { FeatureId } from "../../model/evidence/features.ts";
import { MEASURED_BY, type JudgedMark } from "./judge.ts";

/** Figures of one feature on one kind of view. */
export interface Figures {
  readonly feature: FeatureId;
  readonly what: string;
  /** Pictures that truly show it. */
  readonly shown: number;
  /** Of these, with a proposal. */
  readonly proposed: number;
  readonly median: number | null;
  /** 5th percentile of an overlap, 95th of an error. */
  readonly badEnd: number | null;
  /** Pictures stated to show none, and those of them with a proposal. */
  readonly without: number;
  readonly falseOnes: number;
  readonly calibration: readonly CalibrationRow[];
}

export interface CalibrationRow {
  readonly confidence: number;
  readonly n: number;
  readonly right: number;
}

/** Value below which a share of the values lies, between neighbours. */
export function quantile(values: readonly number[], share: number): number | null {
  if (values.length === 0) return null;
  const sorted = [...values].sort((a, b) => a - b);
  const at = share * (sorted.length - 1);
  const low = Math.floor(at);
  return sorted[low]! + (at - low) * ((sorted[low + 1] ?? sorted[low]!) - sorted[low]!);
}

export function figuresOf(feature: FeatureId, marks: readonly JudgedMark[]): Figures {
  const of = marks.filter((m) => m.feature === feature);
  const shown = of.filter((m) => m.truth === "true");
  const without = of.filter((m) => m.truth === "none");
  const values = shown.flatMap((m) => (m.value === null ? [] : [m.value]));
  const rule = MEASURED_BY[feature];
  const larger = rule?.what.startsWith("overlap") ?? false;
  return {
    feature,
    what: rule?.what ?? "",
    shown: shown.length,
    proposed: shown.filter((m) => m.confidence !== null).length,
    median: quantile(values, 0.5),
    badEnd: quantile(values, larger ? 0.05 : 0.95),
    without: without.length,
    falseOnes: without.filter((m) => m.confidence !== null).length,
    calibration: calibrationOf(of),
  };
}

function calibrationOf(marks: readonly JudgedMark[]): CalibrationRow[] {
  const rows = new Map<number, { n: number; right: number }>();
  for (const m of marks) {
    if (m.confidence === null || m.truth === "unstated") continue;
    const row = rows.get(m.confidence) ?? { n: 0, right: 0 };
    row.n += 1;
    if (m.value !== null && MEASURED_BY[m.feature]?.right(m.value) === true) row.right += 1;
    rows.set(m.confidence, row);
  }
  return [...rows].sort(([a], [b]) => a - b).map(([confidence, row]) => ({ confidence, ...row }));
}
