import type { End, WireBreak } from "../../model/break/wire-break.ts";
import type { BreakSummary, EndSummary } from "./contract.ts";

/**
 * What the log lists of a break.
 *
 * @param suggested – verdict of the suggestion for this record.
 */
export function summarise(record: WireBreak, suggested: string): BreakSummary {
  const { context } = record;
  const last = record.confirmations.at(-1);
  const confirmed = last?.kind === "confirmed" ? last : null;
  return {
    id: record.id,
    number: record.number,
    createdAt: record.createdAt,
    updatedAt: record.updatedAt,
    revision: record.revision,
    brokeAt: context.brokeAt,
    metal: context.metal,
    grade: context.grade,
    diameterMm: context.measuredDiameterMm ?? context.nominalDiameterMm,
    machine: context.machine,
    cast: context.cast,
    coil: context.coil,
    suggested,
    confirmed: confirmed?.type ?? null,
    confirmedBy: confirmed?.by ?? null,
    ...(record.readings === undefined ? {} : { readings: record.readings.map(({ by, type }) => ({ by, type })) }),
    machineEnd: endSummary(record.ends.machine),
    takeUpEnd: endSummary(record.ends.takeUp),
    demo: record.demo,
    binned: record.binnedAt !== null,
    text: searchText(record, suggested),
  };
}

/** The end-on view tells most at a glance; without one, the first photograph stands for the end. */
function endSummary(end: End): EndSummary {
  const shown = end.photographs.find((photograph) => photograph.view === "end_on") ?? end.photographs[0];
  return { recovery: end.recovery, hash: shown?.hash ?? null, photographs: end.photographs.length };
}

/** Names of the vocabulary use underscores; a person types spaces. */
function searchText(record: WireBreak, suggested: string): string {
  const said = record.confirmations.map((line) =>
    line.kind === "confirmed" ? [line.type, line.means, line.reason, line.by] : [line.reason, line.by],
  );
  const ends = [record.ends.machine, record.ends.takeUp].map((end) => [
    end.recovery,
    end.note,
    end.photographs.map((photograph) => [photograph.fileName, photograph.capturedAt, photograph.view]),
    end.marks.map((mark) => [mark.feature, mark.note, mark.by, mark.given]),
  ]);
  const words = new Set<string>();
  collect([record.number, record.context, ends, said, suggested], words);
  return [...words].join(" ").toLowerCase().replaceAll("_", " ");
}

/** Gathers text and numbers at any depth; for flags, the name of the field that is set. */
function collect(value: unknown, words: Set<string>): void {
  if (typeof value === "string" || typeof value === "number") words.add(String(value));
  else if (typeof value === "object" && value !== null)
    for (const [key, inner] of Object.entries(value))
      if (inner === true) words.add(key);
      else collect(inner, words);
}
