import type { WireBreak } from "../../model/break/wire-break.ts";
import { BenchFileError } from "./bench-file-error.ts";
import { addWholeBreak } from "./add-whole-break.ts";
import { prepareCommit, writeCommit } from "./commit.ts";
import type {
  BenchExportReport,
  BenchFileReport,
  BenchStore,
  BreakSummary,
  Commit,
  LogEntry,
  LongWork,
  Recovered,
  NewOriginal,
  SmallCopies,
  StoreEvent,
  WholeBreak,
} from "./contract.ts";
import type { StoreError } from "./contract.ts";
import type { BenchDatabase } from "./database.ts";
import { strictly } from "./database.ts";
import { readFromFolder } from "./safe/folder.ts";
import { storedEntries, storedRecord } from "./stored.ts";
import { asStoreError, readOnly, terminated } from "./store-failure.ts";
import type { TabNews } from "./tab-news.ts";
import type { Seat } from "./seat.ts";
import type { BenchWriter } from "./bench-writer.ts";

export interface BenchParts {
  readonly db: BenchDatabase;
  readonly name: string;
  readonly seat: Seat;
  readonly news: TabNews;
  readonly listeners: Set<(event: StoreEvent) => void>;
  readonly now: () => string;
  readonly persisted: boolean | null;
}

/** The bench in IndexedDB and the safe. Made by `openBench`. */
export class IndexedBench implements BenchStore {
  readonly persisted: boolean | null;
  readonly #parts: BenchParts;
  readonly #writing = new Set<Promise<unknown>>();
  #gone: StoreError | null = null;

  constructor(parts: BenchParts) {
    this.#parts = parts;
    this.persisted = parts.persisted;
  }

  get mode(): "writer" | "reader" {
    return this.#parts.seat.writer === null ? "reader" : "writer";
  }

  get safe(): boolean {
    return this.#parts.seat.safe;
  }

  get recovered(): Recovered | null {
    return this.#parts.seat.recovered;
  }

  summaries(): Promise<readonly BreakSummary[]> {
    return this.#read((db) => db.getAll("summaries"));
  }

  load(breakId: string): Promise<{ readonly record: WireBreak; readonly log: readonly LogEntry[] } | null> {
    return this.#read(async (db) => {
      const tx = db.transaction(["breaks", "log"]);
      const [record, log] = await Promise.all([
        tx.objectStore("breaks").get(breakId),
        tx.objectStore("log").index("breakId").getAll(breakId),
        tx.done,
      ]);
      return record === undefined ? null : { record: storedRecord(record), log: storedEntries(log) };
    });
  }

  async commit(commit: Commit): Promise<readonly LogEntry[]> {
    const prepared = prepareCommit(commit);
    const stored = await this.#write((db, writer) => writeCommit(db, writer, prepared));
    this.#tell(prepared.records.map(({ record }) => record.id));
    return stored;
  }

  async addBreak(whole: WholeBreak): Promise<void> {
    await this.#write((db, writer) => addWholeBreak(db, writer, whole));
    this.#tell([whole.record.id]);
  }

  async addOriginals(originals: readonly Omit<NewOriginal, "thumbnail" | "working">[]): Promise<void> {
    await this.#write((_db, writer) =>
      writer.alone(() => Promise.resolve({ change: { originals }, result: undefined })),
    );
  }

  original(hash: string): Promise<Blob | null> {
    return this.#read((db) => this.#originalFrom(db, hash));
  }

  async picture(hash: string): Promise<Blob | null> {
    return (await this.#read((db) => db.get("working", hash))) ?? (await this.original(hash));
  }

  thumbnail(hash: string): Promise<Blob | null> {
    return this.#read(async (db) => (await db.get("small", hash))?.blob ?? null);
  }

  known(hashes: readonly string[]): Promise<ReadonlySet<string>> {
    return this.#read(async (db) => {
      const store = db.transaction("originals").store;
      const keys = await Promise.all(hashes.map((hash) => store.getKey(hash)));
      return new Set(keys.filter((key) => key !== undefined));
    });
  }

  lackingCopies(): Promise<readonly string[]> {
    return this.#read(async (db) => {
      const tx = db.transaction(["originals", "small"]);
      const [originals, small] = await Promise.all([
        tx.objectStore("originals").getAllKeys(),
        tx.objectStore("small").getAllKeys(),
      ]);
      const made = new Set(small);
      return originals.filter((hash) => !made.has(hash));
    });
  }

  async addCopies(copies: readonly SmallCopies[]): Promise<void> {
    await this.#write((db) =>
      strictly(db, ["small", "working"], async (tx) => {
        await Promise.all(
          copies.flatMap(({ hash, thumbnail, working }) => [
            tx.objectStore("small").put({ blob: thumbnail }, hash),
            ...(working === null ? [] : [tx.objectStore("working").put(working, hash)]),
          ]),
        );
      }),
    );
  }

  getSetting<T>(key: string): Promise<T | undefined> {
    return this.#read(async (db) => (await db.get("settings", key)) as T | undefined);
  }

  async setSetting(key: string, value: unknown): Promise<void> {
    await this.#write((_db, writer) =>
      writer.alone(() => Promise.resolve({ change: { setting: { key, value } }, result: undefined })),
    );
  }

  async usageBytes(): Promise<number | null> {
    if (typeof navigator.storage?.estimate !== "function") return null;
    return (await navigator.storage.estimate()).usage ?? null;
  }

  subscribe(listener: (event: StoreEvent) => void): () => void {
    this.#parts.listeners.add(listener);
    return () => this.#parts.listeners.delete(listener);
  }

  exportBench(
    breakIds: readonly string[] | null,
    to: WritableStream<Uint8Array>,
    work: LongWork = {},
    settings: unknown = null,
  ): Promise<BenchExportReport> {
    return this.#read(async (db) => {
      const { exportBenchFile } = await import("./bench-file.ts");
      const originalOf = (hash: string): Promise<Blob | null> => this.#originalFrom(db, hash);
      return exportBenchFile(db, originalOf, breakIds, to, this.#parts.now(), settings, work);
    });
  }

  importBench(file: Blob, by: string, at: string, work: LongWork = {}): Promise<BenchFileReport> {
    return this.#write(async (db, writer) => {
      const { importBenchFile } = await import("./bench-file.ts");
      return importBenchFile(db, writer, file, { by, at }, (breakIds) => this.#tell(breakIds), work);
    });
  }

  close(): void {
    if (this.#gone) return;
    this.#end(terminated());
  }

  /** The connection is gone: everything asked from now on fails with this reason. */
  lose(error: StoreError): void {
    if (this.#gone) return;
    const listeners = [...this.#parts.listeners];
    this.#end(error);
    for (const listener of listeners) listener({ kind: "closed", error });
  }

  /** The database, the right to write and the news of it are given up only when the last write has ended. */
  #end(reason: StoreError): void {
    this.#gone = reason;
    this.#parts.listeners.clear();
    this.#parts.seat.stop();
    void Promise.allSettled(this.#writing).then(() => {
      this.#parts.db.close();
      this.#parts.news.close();
      this.#parts.seat.leave();
    });
  }

  /** The bytes in memory of their own: a piece of a file that still grows could not be read later. */
  async #originalFrom(db: BenchDatabase, hash: string): Promise<Blob | null> {
    const stored = await db.get("originals", hash);
    if (stored === undefined) return null;
    if ("blob" in stored) return stored.blob;
    const safe = this.#parts.seat.writer?.safe;
    const bytes = await (safe ? safe.read(stored) : readFromFolder(this.#parts.name, stored));
    return bytes && new Blob([bytes], { type: stored.mediaType });
  }

  #tell(breakIds: readonly string[]): void {
    if (breakIds.length > 0) this.#parts.news.tell(breakIds);
  }

  async #read<Result>(work: (db: BenchDatabase) => Promise<Result>): Promise<Result> {
    if (this.#gone) throw this.#gone;
    try {
      return await work(this.#parts.db);
    } catch (failure) {
      throw failure instanceof BenchFileError ? failure : asStoreError(this.#gone, failure);
    }
  }

  async #write<Result>(work: (db: BenchDatabase, writer: BenchWriter) => Promise<Result>): Promise<Result> {
    if (this.#gone) throw this.#gone;
    const { writer } = this.#parts.seat;
    if (writer === null) throw readOnly();
    const running = work(this.#parts.db, writer);
    this.#writing.add(running);
    try {
      return await running;
    } catch (failure) {
      throw failure instanceof BenchFileError ? failure : asStoreError(this.#gone, failure);
    } finally {
      this.#writing.delete(running);
    }
  }
}
