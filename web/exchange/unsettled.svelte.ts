import { applyEdit } from "../../model/break/edits.ts";
import type { WireBreak } from "../../model/break/wire-break.ts";
import { suggest } from "../../model/evidence/suggest.ts";
import { observe } from "../../model/measure/observe.ts";
import type { MergeConflict } from "../../model/reference/merge/merge.ts";
import { settlingEdit } from "../../model/reference/merge/settle.ts";
import type { App } from "../shell/app.svelte.ts";
import { StoreError } from "../storage/contract.ts";
import { summarise } from "../storage/summary.ts";
import type { MergeClient } from "../workers/merge-client.ts";
import { createMergeClient } from "../workers/merge-client.ts";
import { noteUnsettled, unsettledIds } from "./exchange-log.ts";

/** A break in which fields stand with several values. */
export interface UnsettledBreak {
  readonly record: WireBreak;
  readonly swapped: boolean;
  readonly conflicts: readonly MergeConflict[];
}

/** What benches say differently, until a person says which it is. Read from the logs, so a reload changes nothing. */
export class Unsettled {
  breaks = $state.raw<readonly UnsettledBreak[]>([]);
  loaded = $state(false);
  readonly #app: App;

  constructor(app: App) {
    this.#app = app;
  }

  get fields(): number {
    return this.breaks.reduce((sum, { conflicts }) => sum + conflicts.length, 0);
  }

  /** Looks at the breaks noted as unsettled, and at `more`. @throws StoreError. */
  async look(more: readonly string[] = []): Promise<void> {
    const { bench } = this.#app;
    const noted = await unsettledIds(bench);
    const found: UnsettledBreak[] = [];
    const merger = createMergeClient();
    try {
      for (const id of new Set([...noted, ...more])) {
        const one = await this.#standing(merger, id);
        if (one !== null) found.push(one);
      }
    } finally {
      merger.close();
    }
    this.breaks = found.sort((a, b) => (a.record.number < b.record.number ? -1 : 1));
    this.loaded = true;
    const ids = found.map(({ record }) => record.id).sort();
    if (this.#app.mode === "writer" && ids.join() !== [...noted].sort().join()) await noteUnsettled(bench, ids);
  }

  async #standing(merger: MergeClient, id: string): Promise<UnsettledBreak | null> {
    const stored = await this.#app.bench.load(id);
    if (stored === null || !stored.log.some(({ edit }) => edit.kind === "take-over")) return null;
    const standing = await merger.standing({ record: stored.record, log: stored.log });
    if (standing === null || standing.conflicts.length === 0) return null;
    return { record: stored.record, swapped: standing.swapped, conflicts: standing.conflicts };
  }

  /** The person says which value it is: an ordinary edit that knows all of them. @throws StoreError. */
  async settle(id: string, field: string, value: unknown): Promise<void> {
    const { bench, surroundings, reader } = this.#app;
    const stored = await bench.load(id);
    const known = this.breaks.find(({ record }) => record.id === id);
    if (stored === null || known === undefined) return;
    const edit = settlingEdit({ record: stored.record, swapped: known.swapped }, field, value);
    if (edit === null)
      throw new StoreError(
        "conflict",
        "This field is no longer there.",
        "Open the break on the bench and set it there; then it is settled.",
      );
    const at = surroundings.now();
    const { next, inverse } = applyEdit(stored.record, edit, at);
    const { revision } = next;
    const summary = summarise(next, suggest(observe(next)).verdict);
    await bench.commit({
      entries: [{ breakId: id, revision, edit, inverse, origin: "reader", of: null, by: reader, at }],
      records: [{ record: next, summary }],
    });
    this.#app.noteSummaries([summary]);
    await this.look();
  }
}
