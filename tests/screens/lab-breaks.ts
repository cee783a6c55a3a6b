import { parseObservationSheets } from "../../model/break/observation-sheet.ts";
import { paperRecord } from "../../model/measure/paper-record.ts";
import type { WireBreak } from "../../model/break/wire-break.ts";
import { seeded } from "../../model/classifier/seeded.ts";
import { setOfBreaks, type NumberedBreak } from "../../model/classifier/set-of-breaks.ts";
import { train } from "../../model/classifier/train.ts";
import { writeModelFile } from "../../model/classifier/model-file.ts";
import { numbersOfBreak } from "../../model/classifier/of-break.ts";
import { COLUMN_NAMES } from "../../model/classifier/vector.ts";
import type { BreakTypeId } from "../../model/evidence/break-type-ids.ts";
import { suggest } from "../../model/evidence/suggest.ts";
import { observe } from "../../model/measure/observe.ts";
import { summarise } from "../../web/storage/summary.ts";
import type { BenchStore } from "../../web/storage/contract.ts";
import cases from "../model/evidence/textbook-cases.json" with { type: "json" };
import { AT } from "./log-breaks.ts";

export interface LabBreak {
  readonly record: WireBreak;
  readonly type: BreakTypeId;
}

/** Measures a little off, some marks left out: no two breaks of a lab are alike. */
function jittered(value: unknown, next: () => number): unknown {
  if (typeof value === "number") return value * (0.92 + 0.16 * next());
  if (Array.isArray(value)) return value.map((v) => jittered(v, next));
  if (value === null || typeof value !== "object") return value;
  return Object.fromEntries(Object.entries(value).map(([key, v]) => [key, jittered(v, next)]));
}

/**
 * Breaks after the constructed textbook cases of these types, every one a little different.
 *
 * @param alike – true: exactly as the textbook case.
 */
export function labBreaks(
  types: readonly BreakTypeId[],
  each: number,
  seed: number,
  alike = false,
): readonly LabBreak[] {
  const stream = seeded(seed);
  const next = () => (alike ? 0.5 : stream());
  return types.flatMap((type) => {
    const models = cases.filter((c) => c.acceptable_types[0] === type);
    return Array.from({ length: each }, (_, i): LabBreak => {
      const source = models[i % models.length]!;
      const number = `L-${seed}-${type}-${i}`;
      const ends = source.ends.map((end) => ({
        ...end,
        features: end.features
          .filter((f) => f.feature === "wire_outline" || next() > 0.12)
          // Both ends stay of one wire.
          .map((f) =>
            "measures" in f && f.feature !== "wire_outline" ? { ...f, measures: jittered(f.measures, next) } : f,
          ),
      }));
      const [sheet] = parseObservationSheets({ ...source, id: number, ends });
      let ids = 0;
      const record = paperRecord(sheet!, { id: number, newId: () => `${number}-${++ids}`, at: AT, by: "A. Reader" });
      return { record, type };
    });
  });
}

/** The break as its type, confirmed under the microscope. */
export const confirmed = ({ record, type }: LabBreak): WireBreak => ({
  ...record,
  confirmations: [
    {
      kind: "confirmed",
      id: `c-${record.id}`,
      type,
      means: ["both-ends-microscope"],
      reason: "seen on both ends",
      by: "A. Reader",
      at: AT,
      suggestion: suggest(observe(record)),
      revision: record.revision,
    },
  ],
});

/** Puts breaks on the bench, confirmed as their type or left open. */
export async function fileLabBreaks(
  store: BenchStore,
  breaks: readonly LabBreak[],
  { open = false, demo = false } = {},
): Promise<void> {
  const records = breaks.map((b) => ({ ...(open ? b.record : confirmed(b)), demo }));
  await store.commit({
    entries: [],
    records: records.map((record) => ({ record, summary: summarise(record, suggest(observe(record)).verdict) })),
  });
}

export const numbered = (breaks: readonly LabBreak[]): readonly NumberedBreak[] =>
  breaks.map(({ record, type }) => ({ id: record.id, type, vector: numbersOfBreak(record, []) }));

/** A model file learnt from such breaks, standing in for the one that comes with Endpair. */
export function madeModel(breaks: readonly LabBreak[], name = "made model"): Uint8Array<ArrayBuffer> {
  const { set } = setOfBreaks(numbered(breaks), COLUMN_NAMES);
  return writeModelFile(
    train(set, {
      seed: 3,
      name,
      trainedAt: AT,
      trainedOn: "rendered images",
      limits: ["It learnt from rendered images only.", "It is not validated on photographs of real breaks."],
      dataDigest: "ab".repeat(32),
    }),
  ).bytes;
}
