import { applyEdit, type Edit } from "../../model/break/edits.ts";
import { historyOf } from "../../model/break/undo.ts";
import type { WireBreak } from "../../model/break/wire-break.ts";
import { suggest } from "../../model/evidence/suggest.ts";
import type { Suggestion } from "../../model/evidence/suggestion.ts";
import { observe } from "../../model/measure/observe.ts";
import type { BenchStore, BreakSummary, EditOrigin, LogEntry, NewLogEntry } from "../storage/contract.ts";
import { StoreError } from "../storage/contract.ts";
import { summarise } from "../storage/summary.ts";

interface Outside {
  readonly store: Pick<BenchStore, "mode" | "load" | "commit">;
  readonly now: () => string;
  readonly reader: () => string;
  readonly onSaved: (summary: BreakSummary) => void;
}

/**
 * One open break: its record, its edit log and what is on disk of it.
 * Edits show at once; "saved" names the revision whose transaction has completed.
 */
export class Bench {
  record = $state.raw<WireBreak>() as WireBreak;
  log = $state.raw<readonly LogEntry[]>([]);
  savedRevision = $state(0);
  problem = $state.raw<StoreError | null>(null);
  readonly observations = $derived(observe(this.record));
  readonly suggestion: Suggestion = $derived(suggest(this.observations));
  readonly history = $derived(historyOf(this.log));
  readonly #outside: Outside;
  #waiting: NewLogEntry[] = [];
  #writing: Promise<void> | null = null;

  constructor(record: WireBreak, log: readonly LogEntry[], outside: Outside) {
    this.record = record;
    this.log = log;
    this.savedRevision = record.revision;
    this.#outside = outside;
  }

  get saved(): boolean {
    return this.savedRevision === this.record.revision;
  }

  get canUndo(): boolean {
    return this.history.undo.length > 0 || this.#waiting.length > 0;
  }

  get canRedo(): boolean {
    return this.history.redo.length > 0;
  }

  /** Applies a reader's edit and queues it for the disk. @throws EditError, StoreError (read-only). */
  apply(edit: Edit, origin: EditOrigin = "reader"): void {
    this.#take(edit, origin, null);
  }

  async undo(): Promise<string | null> {
    await this.settled();
    const line = this.history.undo.at(-1);
    if (line === undefined || line.inverse === null) return null;
    this.#take(line.inverse, "undo", line.seq);
    return nameOfEdit(line.edit);
  }

  async redo(): Promise<string | null> {
    await this.settled();
    const line = this.history.redo.at(-1);
    if (line === undefined) return null;
    this.#take(line.edit, "redo", line.seq);
    return nameOfEdit(line.edit);
  }

  /** Resolves when everything applied so far is on disk. @throws StoreError when it could not be written. */
  async settled(): Promise<void> {
    while (this.#waiting.length > 0 || this.#writing !== null) {
      if (this.problem !== null) throw this.problem;
      await (this.#writing ?? this.#write());
    }
  }

  async retry(): Promise<void> {
    this.problem = null;
    await this.#write();
  }

  /** What another tab wrote replaces what is shown. */
  async reload(): Promise<void> {
    const stored = await this.#outside.store.load(this.record.id);
    if (stored === null) return;
    this.record = stored.record;
    this.log = stored.log;
    this.savedRevision = stored.record.revision;
  }

  #take(edit: Edit, origin: EditOrigin, of: number | null): void {
    if (this.#outside.store.mode === "reader")
      throw new StoreError(
        "read-only",
        "This tab is only reading: another tab has the bench open for writing.",
        "Go on in the other tab, or close it and this one takes over.",
      );
    const at = this.#outside.now();
    const { next, inverse } = applyEdit(this.record, edit, at);
    this.record = next;
    this.#waiting = [
      ...this.#waiting,
      { breakId: next.id, revision: next.revision, edit, inverse, origin, of, by: this.#outside.reader(), at },
    ];
    void this.#write();
  }

  #write(): Promise<void> {
    this.#writing ??= this.#drain().finally(() => {
      this.#writing = null;
    });
    return this.#writing;
  }

  async #drain(): Promise<void> {
    while (this.#waiting.length > 0 && this.problem === null) {
      const entries = this.#waiting;
      const record = this.record;
      const summary = summarise(record, this.suggestion.verdict);
      try {
        const stored = await this.#outside.store.commit({ entries, records: [{ record, summary }] });
        this.#waiting = this.#waiting.slice(entries.length);
        this.log = [...this.log, ...stored];
        this.savedRevision = record.revision;
        this.#outside.onSaved(summary);
      } catch (error) {
        this.problem =
          error instanceof StoreError
            ? error
            : new StoreError("unavailable", "The edit could not be written to disk.", "Retry, or save the bench file.");
      }
    }
  }
}

const EDIT_NAMES: Readonly<Record<Edit["kind"], string>> = {
  "set-number": "number changed",
  "set-context": "facts changed",
  "set-pairing": "pairing changed",
  "set-roles-known": "roles of the ends changed",
  "set-end": "end changed",
  "swap-ends": "ends swapped",
  "add-photograph": "photograph filed",
  "remove-photograph": "photograph taken out",
  "move-photograph": "photograph moved",
  "set-photograph": "photograph changed",
  "add-mark": "mark added",
  "remove-mark": "mark removed",
  "set-mark": "mark changed",
  "set-route": "route changed",
  "set-binned": "bin changed",
  "add-confirmation": "confirmation added",
  "add-reading": "second reading added",
  "set-came-with": "origin of the break noted",
  "take-over": "changes of another bench taken over",
  together: "several changes",
};

/** An edit in trade words, for the undo line. */
export function nameOfEdit(edit: Edit): string {
  if (edit.kind === "together" && edit.edits.length === 1 && edit.edits[0]) return nameOfEdit(edit.edits[0]);
  return EDIT_NAMES[edit.kind];
}
