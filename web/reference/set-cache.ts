import { openDB, type DBSchema, type IDBPDatabase } from "idb";
import type { NearDuplicate } from "../../model/reference/duplicates/near-duplicates.ts";
import type { MemberRow } from "./member-row.ts";

/** Raise when the same break or photograph comes out with other values; what was kept under another is thrown away. */
const VALUES_VERSION = 1;

/** A photograph made ready for comparison: its looks as sixteen whole numbers, and 128 × 128 grey values. */
export interface KeptLooks {
  readonly looks: Uint32Array<ArrayBuffer>;
  readonly thumbnail: Uint8Array<ArrayBuffer>;
}

interface CacheSchema extends DBSchema {
  members: {
    key: string;
    value: {
      readonly row: MemberRow;
      readonly revision: number;
      readonly updatedAt: string;
      /** Names the ladder it was judged by. */
      readonly ladder: string;
    };
  };
  looks: { key: string; value: Uint32Array<ArrayBuffer> };
  thumbnails: { key: string; value: Uint8Array<ArrayBuffer> };
  alike: { key: string; value: readonly NearDuplicate[] };
  about: { key: string; value: number };
}

/**
 * What the set screen worked out, in a database of its own. All of it can be worked out again, so nothing that goes
 * wrong here is an error: a full disk or a missing database only means that it takes longer.
 */
export class SetCache {
  readonly #db: Promise<IDBPDatabase<CacheSchema> | null>;

  constructor(name: string) {
    this.#db = opened(name).catch(() => null);
  }

  async members(): Promise<ReadonlyMap<string, CacheSchema["members"]["value"]>> {
    const found = await this.#try(async (db) => {
      const tx = db.transaction("members");
      const [keys, values] = await Promise.all([tx.store.getAllKeys(), tx.store.getAll()]);
      return keys.map((key, i) => [key, values[i]!] as const);
    });
    return new Map(found ?? []);
  }

  async keepMembers(rows: readonly (readonly [string, CacheSchema["members"]["value"]])[]): Promise<void> {
    await this.#try(async (db) => {
      const tx = db.transaction("members", "readwrite");
      await Promise.all([...rows.map(([key, value]) => tx.store.put(value, key)), tx.done]);
    });
  }

  /** Looks of every photograph that was made ready, by hash. */
  async looks(): Promise<Map<string, Uint32Array<ArrayBuffer>>> {
    const found = await this.#try(async (db) => {
      const tx = db.transaction("looks");
      const [keys, values] = await Promise.all([tx.store.getAllKeys(), tx.store.getAll()]);
      return keys.map((key, i) => [key, values[i]!] as const);
    });
    return new Map(found ?? []);
  }

  thumbnail(hash: string): Promise<Uint8Array<ArrayBuffer> | undefined> {
    return this.#try((db) => db.get("thumbnails", hash));
  }

  async keepLooks(hash: string, { looks, thumbnail }: KeptLooks): Promise<void> {
    await this.#try(async (db) => {
      const tx = db.transaction(["looks", "thumbnails"], "readwrite");
      await Promise.all([
        tx.objectStore("looks").put(looks, hash),
        tx.objectStore("thumbnails").put(thumbnail, hash),
        tx.done,
      ]);
    });
  }

  /** What was found among exactly these photographs; undefined = not looked for yet. */
  alike(key: string): Promise<readonly NearDuplicate[] | undefined> {
    return this.#try((db) => db.get("alike", key));
  }

  /** Only the latest answer is kept. */
  async keepAlike(key: string, found: readonly NearDuplicate[]): Promise<void> {
    await this.#try(async (db) => {
      const tx = db.transaction("alike", "readwrite");
      await Promise.all([tx.store.clear(), tx.store.put(found, key), tx.done]);
    });
  }

  async close(): Promise<void> {
    (await this.#db)?.close();
  }

  async #try<T>(work: (db: IDBPDatabase<CacheSchema>) => Promise<T>): Promise<T | undefined> {
    const db = await this.#db;
    if (db === null) return undefined;
    try {
      return await work(db);
    } catch {
      return undefined;
    }
  }
}

const STORES = ["members", "looks", "thumbnails", "alike", "about"] as const;

async function opened(name: string): Promise<IDBPDatabase<CacheSchema>> {
  const db = await openDB<CacheSchema>(name, 1, {
    upgrade(fresh) {
      for (const store of STORES) fresh.createObjectStore(store);
    },
    // Whoever wants to delete or renew it goes first: nothing here is worth waiting for.
    blocking: (_current, _wanted, event) => (event.target as IDBDatabase).close(),
  });
  if ((await db.get("about", "version")) !== VALUES_VERSION) {
    const tx = db.transaction(STORES, "readwrite");
    await Promise.all(STORES.map((store) => tx.objectStore(store).clear()));
    await tx.objectStore("about").put(VALUES_VERSION, "version");
    await tx.done;
  }
  return db;
}
