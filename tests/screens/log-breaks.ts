import { applyEdit, type Edit } from "../../model/break/edits.ts";
import { EMPTY_CONTEXT, newBreak } from "../../model/break/new-break.ts";
import type { BreakContext, WireBreak } from "../../model/break/wire-break.ts";
import type { BreakTypeId, Verdict } from "../../model/evidence/break-type-ids.ts";
import { BREAK_TYPE_IDS } from "../../model/evidence/break-type-ids.ts";
import { suggest } from "../../model/evidence/suggest.ts";
import type { BenchStore, BreakSummary } from "../../web/storage/contract.ts";
import { summarise } from "../../web/storage/summary.ts";

export const AT = "2026-03-02T08:00:00+01:00";

export interface Wanted {
  readonly context?: Partial<BreakContext>;
  readonly suggested?: Verdict;
  readonly confirmed?: BreakTypeId;
  readonly lost?: "machine" | "takeUp";
  readonly createdAt?: string;
}

/** A break and its summary as the log lists it. */
export function aBreak(number: string, wanted: Wanted = {}): { record: WireBreak; summary: BreakSummary } {
  const createdAt = wanted.createdAt ?? AT;
  const fresh = newBreak(`break-${number}`, number, createdAt);
  const edits: Edit[] = [];
  if (wanted.lost) edits.push({ kind: "set-end", side: wanted.lost, patch: { recovery: "not-recovered" } });
  if (wanted.confirmed)
    edits.push({
      kind: "add-confirmation",
      confirmation: {
        kind: "confirmed",
        id: `c-${number}`,
        type: wanted.confirmed,
        means: ["both-ends-microscope"],
        reason: "seen on both ends",
        by: "A. Reader",
        at: AT,
        suggestion: suggest({
          id: number,
          ends: [],
          context: { ...EMPTY_CONTEXT, wireMm: null, drawDirectionKnown: false, d0AgreePct: null, mate: null },
        }),
        revision: 0,
      },
    });
  const start = { ...fresh, context: { ...fresh.context, ...wanted.context } };
  const record = edits.reduce<WireBreak>((b, edit) => ({ ...applyEdit(b, edit, createdAt).next, revision: 0 }), start);
  return { record, summary: summarise(record, wanted.suggested ?? "undetermined") };
}

/** Ten thousand summaries of different kinds. */
export function manySummaries(count: number): BreakSummary[] {
  const metals = ["copper", "aluminium", "steel"];
  return Array.from(
    { length: count },
    (_, i) =>
      aBreak(`B-${String(i + 1).padStart(5, "0")}`, {
        context: {
          metal: metals[i % 3] ?? null,
          machine: `D${(i % 9) + 1}`,
          cast: `A ${i % 400}`,
          notes: `fibrous centre, lip on half the rim, spool ${i}, shift ${i % 3}`,
          brokeAt: new Date(Date.UTC(2024, 0, 1) + i * 3_600_000).toISOString(),
        },
        suggested: i % 7 === 0 ? "undetermined" : (BREAK_TYPE_IDS[i % 17] ?? "undetermined"),
      }).summary,
  );
}

export async function storeBreaks(store: BenchStore, breaks: readonly ReturnType<typeof aBreak>[]): Promise<void> {
  await store.commit({ entries: [], records: breaks });
}
