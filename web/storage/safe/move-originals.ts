import type { BenchWriter } from "../bench-writer.ts";
import type { BenchDatabase } from "../database.ts";

/**
 * Moves originals that still lie in the database (kept by an older version, or by a browser without a safe) into the
 * safe, one by one in the background. Each leaves the database only when the safe has it; whatever stops this, the
 * next start goes on.
 *
 * @returns how many were moved.
 */
export async function moveOriginals(db: BenchDatabase, writer: BenchWriter): Promise<number> {
  let moved = 0;
  try {
    const { store } = db.transaction("originals");
    const [hashes, rows] = await Promise.all([store.getAllKeys(), store.getAll()]);
    for (const [i, hash] of hashes.entries()) {
      const original = rows[i];
      if (original === undefined || !("blob" in original)) continue;
      const { blob, fileName, mediaType } = original;
      // One that cannot be read stays where it is; saving the bench names it.
      const readable = await blob.arrayBuffer().then(
        (bytes) => new Blob([bytes]),
        () => null,
      );
      if (readable === null) continue;
      await writer.alone(() =>
        Promise.resolve({ change: { moved: { hash, original: readable, fileName, mediaType } }, result: undefined }),
      );
      moved++;
    }
  } catch {
    return moved; // The disk is full or the tab is closing: both copies are whole, and the rest waits.
  }
  return moved;
}
