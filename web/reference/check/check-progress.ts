import { openDB, type DBSchema, type IDBPDatabase } from "idb";
import type { FileFacts } from "../../../model/reference/check/check-set.ts";

type Batch = readonly (readonly [path: string, facts: FileFacts])[];

interface ProgressSchema extends DBSchema {
  /** Keyed by check and number of the batch. */
  facts: { key: [string, number]; value: Batch };
}

/** Files until what was found out is written down. */
const KEEP_EVERY = 32;

/**
 * How far a check has come, in a database that may be lost: it is then begun anew. One check is remembered, the last
 * that was stopped.
 */
export class CheckProgress {
  readonly known = new Map<string, FileFacts>();
  #batch: [string, FileFacts][] = [];
  #next = 0;

  private constructor(
    private readonly db: IDBPDatabase<ProgressSchema> | null,
    private readonly key: string,
  ) {}

  /** @param key – names the file by name, size, time and hash of its manifest. */
  static async open(name: string, key: string): Promise<CheckProgress> {
    const db = await openDB<ProgressSchema>(name, 1, {
      upgrade: (fresh) => void fresh.createObjectStore("facts"),
      blocking: (_current, _wanted, event) => (event.target as IDBDatabase).close(),
    }).catch(() => null);
    const progress = new CheckProgress(db, key);
    await progress.#try(async (open) => {
      const tx = open.transaction("facts", "readwrite");
      for (const at of await tx.store.getAllKeys())
        if (at[0] !== key) await tx.store.delete(at);
        else {
          for (const [path, facts] of (await tx.store.get(at)) ?? []) progress.known.set(path, facts);
          progress.#next = Math.max(progress.#next, at[1] + 1);
        }
      await tx.done;
    });
    return progress;
  }

  async add(path: string, facts: FileFacts): Promise<void> {
    this.#batch.push([path, facts]);
    if (this.#batch.length < KEEP_EVERY) return;
    const batch = this.#batch;
    this.#batch = [];
    await this.#try((db) => db.put("facts", batch, [this.key, this.#next++]));
  }

  /** The check came to its end: the next one of this file begins at the start. */
  async end(): Promise<void> {
    await this.#try((db) => db.clear("facts"));
    this.db?.close();
  }

  async #try(work: (db: IDBPDatabase<ProgressSchema>) => Promise<unknown>): Promise<void> {
    try {
      if (this.db !== null) await work(this.db);
    } catch {
      return; // What is not remembered is checked again.
    }
  }
}
