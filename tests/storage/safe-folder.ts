import type { BenchDatabase } from "../../web/storage/database.ts";
import { openDatabase, STEPS } from "../../web/storage/database.ts";

const folderOf = async (bench: string): Promise<FileSystemDirectoryHandle> =>
  (await navigator.storage.getDirectory()).getDirectoryHandle(`endpair-safe-${bench}`);

/** The journal of a bench, byte for byte. */
export async function journalOf(bench: string): Promise<Uint8Array<ArrayBuffer>> {
  const file = await (await folderOf(bench)).getFileHandle("journal");
  return new Uint8Array(await (await file.getFile()).arrayBuffer());
}

/** Puts other bytes in place of the journal of a bench that nobody has open. */
export async function replaceJournal(bench: string, bytes: Uint8Array<ArrayBuffer>): Promise<void> {
  const file = await (await folderOf(bench)).getFileHandle("journal");
  for (let attempt = 1; ; attempt++)
    try {
      const writable = await file.createWritable();
      await writable.write(bytes);
      await writable.close();
      return;
    } catch (failure) {
      // A bench that was just closed may hold the file a moment longer.
      const held = failure instanceof DOMException && failure.name === "NoModificationAllowedError";
      if (!held || attempt === 100) throw failure;
      await new Promise((resolve) => setTimeout(resolve, 20));
    }
}

/** Sizes of the files of the safe by their names. */
export async function sizesOf(bench: string): Promise<Record<string, number>> {
  const sizes: Record<string, number> = {};
  for await (const [name, handle] of await folderOf(bench))
    if (handle instanceof FileSystemFileHandle) sizes[name] = (await handle.getFile()).size;
  return sizes;
}

/** Starts of the frames of a whole journal. */
export function frameStarts(journal: Uint8Array<ArrayBuffer>): number[] {
  const view = new DataView(journal.buffer);
  const starts: number[] = [];
  for (let at = 0; at < journal.length; at += 12 + view.getUint32(at + 4, true)) starts.push(at);
  return starts;
}

/** As the browser does when it finds its own database damaged. */
export const throwDatabaseAway = (name: string): Promise<void> =>
  new Promise((resolve, reject) => {
    const request = indexedDB.deleteDatabase(name);
    request.onsuccess = () => resolve();
    request.onerror = () => reject(new Error(`${name} could not be deleted`));
    request.onblocked = () => reject(new Error(`${name} is still open`));
  });

/** Works on the database of a bench that nobody has open. */
export async function inDatabase<Result>(
  name: string,
  work: (db: BenchDatabase) => Promise<Result>,
  steps: typeof STEPS = STEPS,
): Promise<Result> {
  const db = await openDatabase(name, () => undefined, steps);
  try {
    return await work(db);
  } finally {
    db.close();
  }
}

/** Everything in the database as it is now, and a way back to it. */
export async function snapshot(name: string): Promise<() => Promise<void>> {
  const stores = [...(await inDatabase(name, (db) => Promise.resolve(db.objectStoreNames)))];
  const rows = await inDatabase(name, async (db) =>
    Promise.all(
      stores.map(async (store) => ({
        store,
        inline: db.transaction(store).store.keyPath !== null,
        keys: await db.getAllKeys(store),
        values: await db.getAll(store),
      })),
    ),
  );
  return () =>
    inDatabase(name, async (db) => {
      for (const { store, inline, keys, values } of rows) {
        await db.clear(store);
        for (const [i, value] of values.entries()) await db.put(store, value, inline ? undefined : keys[i]);
      }
    });
}
