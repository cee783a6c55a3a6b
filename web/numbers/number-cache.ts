import { openDB, type DBSchema, type IDBPDatabase } from "idb";
import { COLUMN_NAMES } from "../../model/classifier/vector.ts";

/**
 * Raise when the same columns come out with other values: of marks, of facts or of views. What was kept under another
 * version is thrown away.
 */
const VALUES_VERSION = 2;

/** Changes with the columns and with how they are computed. */
export const NUMBERS_VERSION = `${VALUES_VERSION} ${digest(COLUMN_NAMES.join(" "))}`;

/** The numbers of a break as it was at one moment. */
export interface KeptNumbers {
  readonly revision: number;
  /** Time of that edit; tells apart two records that were edited equally often. */
  readonly updatedAt: string;
  readonly vector: Float32Array;
}

interface NumbersSchema extends DBSchema {
  views: { key: string; value: { readonly version: string; readonly numbers: Float32Array } };
  breaks: { key: string; value: KeptNumbers & { readonly version: string } };
  about: { key: string; value: string };
}

/**
 * Derived numbers on the disk, in a database of their own. All of it can be computed again, so nothing that goes wrong
 * here is an error: a full disk, a closed or missing database only mean that numbers are computed once more.
 */
export class NumberCache {
  readonly #db: Promise<IDBPDatabase<NumbersSchema> | null>;

  constructor(name: string) {
    this.#db = opened(name).catch(() => null);
  }

  view(key: string): Promise<Float32Array | undefined> {
    return this.#try(async (db) => {
      const row = await db.get("views", key);
      return row?.version === NUMBERS_VERSION ? row.numbers : undefined;
    });
  }

  async keepView(key: string, numbers: Float32Array): Promise<void> {
    await this.#try((db) => db.put("views", { version: NUMBERS_VERSION, numbers }, key));
  }

  /** Every break kept, by its identifier. */
  async breaks(): Promise<Map<string, KeptNumbers>> {
    const found = await this.#try(async (db) => {
      const tx = db.transaction("breaks");
      const [keys, rows] = await Promise.all([tx.store.getAllKeys(), tx.store.getAll()]);
      return rows.flatMap((row, i): [string, KeptNumbers][] =>
        row.version === NUMBERS_VERSION && row.vector.length === COLUMN_NAMES.length ? [[keys[i]!, row]] : [],
      );
    });
    return new Map(found ?? []);
  }

  async keepBreak(breakId: string, kept: KeptNumbers): Promise<void> {
    await this.#try((db) => db.put("breaks", { ...kept, version: NUMBERS_VERSION }, breakId));
  }

  async close(): Promise<void> {
    (await this.#db)?.close();
  }

  async #try<T>(work: (db: IDBPDatabase<NumbersSchema>) => Promise<T>): Promise<T | undefined> {
    const db = await this.#db;
    if (db === null) return undefined;
    try {
      return await work(db);
    } catch {
      return undefined;
    }
  }
}

async function opened(name: string): Promise<IDBPDatabase<NumbersSchema>> {
  const db = await openDB<NumbersSchema>(name, 1, {
    upgrade(fresh) {
      fresh.createObjectStore("views");
      fresh.createObjectStore("breaks");
      fresh.createObjectStore("about");
    },
    // Whoever wants to delete or renew it goes first: nothing here is worth waiting for.
    blocking: (_current, _wanted, event) => (event.target as IDBDatabase).close(),
  });
  const tx = db.transaction(["views", "breaks", "about"], "readwrite");
  if ((await tx.objectStore("about").get("version")) !== NUMBERS_VERSION) {
    await Promise.all([
      tx.objectStore("views").clear(),
      tx.objectStore("breaks").clear(),
      tx.objectStore("about").put(NUMBERS_VERSION, "version"),
    ]);
  }
  await tx.done;
  return db;
}

/** @source FNV-1a, 32 bit: G. Fowler, L. C. Noll, K.-P. Vo, from memory */
function digest(text: string): string {
  let state = 0x811c9dc5;
  for (let i = 0; i < text.length; i++) state = Math.imul(state ^ text.charCodeAt(i), 0x01000193) >>> 0;
  return state.toString(16);
}
