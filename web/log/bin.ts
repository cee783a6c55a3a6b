import { applyEdit, type Edit } from "../../model/break/edits.ts";
import { nextUndo } from "../../model/break/undo.ts";
import type { BenchStore, BreakSummary, EditOrigin } from "../storage/contract.ts";
import { summarise } from "../storage/summary.ts";

/**
 * Puts a break into the bin, or takes it out again. Nothing is deleted; the edit is in the break's own log,
 * and taking out takes that edit back when it was the last one.
 *
 * @param at – ISO 8601.
 * @returns the summary as stored; null when it is already where it should be.
 * @throws StoreError.
 */
export async function setBinned(
  { id, suggested }: BreakSummary,
  binned: boolean,
  { store, at, by }: { readonly store: BenchStore; readonly at: string; readonly by: string },
): Promise<BreakSummary | null> {
  const stored = await store.load(id);
  if (stored === null || (stored.record.binnedAt !== null) === binned) return null;
  const last = nextUndo(stored.log);
  const takesBack = !binned && last?.edit.kind === "set-binned" && last.edit.at !== null;
  const edit: Edit = { kind: "set-binned", at: binned ? at : null };
  const { next, inverse } = applyEdit(stored.record, edit, at);
  const summary = summarise(next, suggested);
  const origin: EditOrigin = takesBack ? "undo" : "reader";
  await store.commit({
    entries: [{ breakId: id, revision: next.revision, edit, inverse, origin, of: takesBack ? last.seq : null, by, at }],
    records: [{ record: next, summary }],
  });
  return summary;
}
