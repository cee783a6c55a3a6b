import type { DBSchema, IDBPDatabase, IDBPTransaction, StoreNames } from "idb";
import { openDB } from "idb";
import type { WireBreak } from "../../model/break/wire-break.ts";
import type { BreakSummary, NewLogEntry } from "./contract.ts";
import { StoreError } from "./contract.ts";
import type { Checkpoint } from "./safe/checkpoint.ts";
import type { Place } from "./safe/safe-files.ts";
import { asStoreError, newerVersion, terminated } from "./store-failure.ts";

/**
 * An original as it lies in the store, under its SHA-256: where its bytes are in the safe, or the bytes themselves
 * where the browser has no safe or they were not moved there yet.
 */
export type StoredOriginal = { readonly fileName: string; readonly mediaType: string } & (
  Place | { readonly blob: Blob }
);

/** Records, summaries and photographs lie apart, so that a list never touches a photograph. */
export interface BenchSchema extends DBSchema {
  breaks: { key: string; value: WireBreak };
  summaries: { key: string; value: BreakSummary };
  /** Numbered (seq) in the order of their transactions; the safe and the database give the same numbers. */
  log: { key: number; value: NewLogEntry & { readonly seq?: number }; indexes: { breakId: string } };
  originals: { key: string; value: StoredOriginal };
  /** A row without a picture says that making one was tried and failed. */
  small: { key: string; value: { readonly blob: Blob | null } };
  working: { key: string; value: Blob };
  settings: { key: string; value: unknown };
  /** How far the database has followed the journal of the safe; one row. */
  safe: { key: string; value: Checkpoint };
}

export type BenchDatabase = IDBPDatabase<BenchSchema>;
export type BenchStoreName = StoreNames<BenchSchema>;
export type BenchTransaction<Names extends BenchStoreName[]> = IDBPTransaction<BenchSchema, Names, "readwrite">;

/** One step per version of the database; steps are only ever appended. */
export const STEPS: readonly ((db: BenchDatabase) => void)[] = [
  (db) => {
    db.createObjectStore("breaks", { keyPath: "id" });
    db.createObjectStore("summaries", { keyPath: "id" });
    db.createObjectStore("log", { keyPath: "seq", autoIncrement: true }).createIndex("breakId", "breakId");
    db.createObjectStore("originals");
    db.createObjectStore("small");
    db.createObjectStore("working");
    db.createObjectStore("settings");
  },
  (db) => {
    db.createObjectStore("safe");
  },
];

/** Other tabs let go at once; only one that is stuck makes us give up after this long. */
const PATIENCE_MS = 5_000;

/**
 * Opens the database and brings it to this version.
 *
 * @param onGone – told once when the connection is gone: a newer version wants the database, its data were
 * cleared, or the browser closed it.
 * @param steps – those of this version unless a test brings more.
 * @throws StoreError blocked (a stuck tab holds an older version), newer-version, unavailable.
 */
export function openDatabase(
  name: string,
  onGone: (error: StoreError) => void,
  steps: typeof STEPS = STEPS,
): Promise<BenchDatabase> {
  return new Promise((resolve, reject) => {
    let gaveUp = false;
    let opened: BenchDatabase | null = null;
    // The browser says "blocked" only to the first in the queue, so the clock runs from the start.
    const timer = setTimeout(() => {
      gaveUp = true;
      reject(
        new StoreError(
          "blocked",
          "Another tab holds the bench and does not let go.",
          "Close the other Endpair tabs, then reload this page.",
        ),
      );
    }, PATIENCE_MS);
    openDB<BenchSchema>(name, steps.length, {
      upgrade(db, oldVersion) {
        clearTimeout(timer);
        for (const step of steps.slice(oldVersion)) step(db);
      },
      blocking(_current, wanted) {
        opened?.close();
        onGone(wanted === null ? terminated() : newerVersion());
      },
      terminated() {
        onGone(terminated());
      },
    })
      .then(
        (db) => {
          if (gaveUp) return db.close();
          opened = db;
          resolve(db);
        },
        (failure: unknown) => reject(asStoreError(failure)),
      )
      .finally(() => clearTimeout(timer));
  });
}

/**
 * One read-write transaction that is on the disk when the promise resolves; any failure takes all of it back.
 * `work` may wait for requests of this transaction only, else the browser closes it half way.
 *
 * @throws StoreError disk-full, terminated, unavailable, or whatever StoreError `work` throws.
 */
export async function strictly<Names extends BenchStoreName[], Result>(
  db: BenchDatabase,
  stores: Names,
  work: (tx: BenchTransaction<Names>) => Promise<Result>,
): Promise<Result> {
  let tx: BenchTransaction<Names>;
  try {
    tx = db.transaction(stores, "readwrite", { durability: "strict" });
  } catch (failure) {
    throw asStoreError(failure);
  }
  const ended = tx.done.then(
    () => null,
    (failure: unknown) => failure ?? new DOMException("The transaction was taken back.", "AbortError"),
  );
  let result: Result;
  try {
    result = await work(tx);
  } catch (failure) {
    abortIfRunning(tx);
    throw asStoreError(failure, await ended);
  }
  const failure = await ended;
  if (failure !== null) throw asStoreError(failure);
  return result;
}

function abortIfRunning(tx: { abort(): void }): void {
  try {
    tx.abort();
  } catch (failure) {
    // The failure that brought us here may have ended the transaction already.
    if (!(failure instanceof DOMException && failure.name === "InvalidStateError")) throw failure;
  }
}
