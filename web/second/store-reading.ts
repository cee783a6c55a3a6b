import { applyEdit, type Edit } from "../../model/break/edits.ts";
import type { SecondReading, WireBreak } from "../../model/break/wire-break.ts";
import { suggest } from "../../model/evidence/suggest.ts";
import { observe } from "../../model/measure/observe.ts";
import type { App } from "../shell/app.svelte.ts";
import { StoreError } from "../storage/contract.ts";
import { summarise } from "../storage/summary.ts";

/** Another hand may be quicker; after so many times something else is wrong. */
const TRIES = 4;

/**
 * Adds a reading to the record as it lies on the disk. A record that changed meanwhile is read again: a reading is only
 * ever added, so it fits every state.
 *
 * @param make – the reading for the record found; its identifier is always the same.
 * @returns the record with it.
 * @throws StoreError; nothing is written then.
 */
export async function storeReading(
  app: App,
  breakId: string,
  make: (found: WireBreak) => SecondReading,
): Promise<WireBreak> {
  for (let left = TRIES; ; left--) {
    const stored = await app.bench.load(breakId);
    if (stored === null || stored.record.binnedAt !== null)
      throw new StoreError(
        "conflict",
        "This break was put into the bin or is no longer on this bench.",
        "Take it out of the bin in the log and finish again; your reading is kept until then.",
      );
    const { record } = stored;
    const reading = make(record);
    // The tab died between writing it and forgetting the draft.
    if (record.readings?.some(({ id }) => id === reading.id)) return record;
    const { by, at } = reading;
    const edit: Edit = { kind: "add-reading", reading };
    const { next } = applyEdit(record, edit, at);
    const suggested = app.summaries.find(({ id }) => id === breakId)?.suggested ?? suggest(observe(next)).verdict;
    const summary = summarise(next, suggested);
    try {
      await app.bench.commit({
        entries: [{ breakId, revision: next.revision, edit, inverse: null, origin: "confirmation", of: null, by, at }],
        records: [{ record: next, summary }],
      });
      app.noteSummaries([summary]);
      return next;
    } catch (error) {
      if (!(error instanceof StoreError && error.code === "conflict") || left <= 1) throw error;
    }
  }
}
