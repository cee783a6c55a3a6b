import { sameContent } from "../canonical.ts";
import type { BenchDatabase } from "../database.ts";
import { strictly } from "../database.ts";
import { storedEntries } from "../stored.ts";
import type { Checkpoint } from "./checkpoint.ts";
import { CHECKPOINT, START } from "./checkpoint.ts";
import type { Inventory } from "./inventory.ts";
import { takeInventory } from "./inventory.ts";
import type { JournalBreak, JournalFrame, PlacedOriginal } from "./journal.ts";
import type { LogEntry } from "../contract.ts";
import type { FramePlace } from "./frame.ts";
import type { Safe } from "./safe.ts";

/** About so much text goes into one frame. */
const FRAME_CHARACTERS = 2 * 1024 * 1024;

/**
 * Brings a database and a journal together that do not know each other: the database was thrown away by the browser,
 * one of the two is older than the other, or there was no journal yet. First everything the journal lacks is written
 * into it; then it holds all there is, and the database is made anew from it if it lacks anything itself.
 * Nothing in the database is touched before the journal has it, so this can be cut off anywhere and begun again.
 *
 * @returns the checkpoint to go on from, and how many photographs are named but no longer there.
 */
export async function meet(db: BenchDatabase, safe: Safe): Promise<{ checkpoint: Checkpoint; lost: number }> {
  const inventory = await takeInventory(safe);
  const lost = await dropLostOriginals(db, safe);
  const known = await db.get("safe", CHECKPOINT);
  // A database that once followed a journal to its end has the newer settings: the journal has lost its end.
  const settingsFrom = known === undefined || known.rebuilding ? "journal" : "database";
  const added = await giveToJournal(db, safe, inventory, settingsFrom);
  if (!(await lacks(db, inventory, settingsFrom))) {
    const seq = Math.max(inventory.seq, await lastSeq(db));
    const checkpoint: Checkpoint = { frame: added ?? inventory.last, upTo: safe.sizes.journal, seq };
    await strictly(db, ["safe"], async (tx) => void (await tx.objectStore("safe").put(checkpoint, CHECKPOINT)));
    return { checkpoint, lost };
  }
  const checkpoint: Checkpoint = { ...START, rebuilding: { damaged: 0 } };
  await strictly(db, ["breaks", "summaries", "log", "settings", "safe"], async (tx) => {
    await Promise.all([
      tx.objectStore("breaks").clear(),
      tx.objectStore("summaries").clear(),
      tx.objectStore("log").clear(),
      tx.objectStore("settings").clear(),
      tx.objectStore("safe").put(checkpoint, CHECKPOINT),
    ]);
  });
  return { checkpoint, lost };
}

/** Number of the last log line in the database, 0 for none. */
export async function lastSeq(db: BenchDatabase): Promise<number> {
  const cursor = await db.transaction("log").store.openKeyCursor(null, "prev");
  return cursor?.key ?? 0;
}

/** Photographs whose bytes are gone must not count as stored, so that adding the file again brings them back. */
async function dropLostOriginals(db: BenchDatabase, { sizes }: Safe): Promise<number> {
  return strictly(db, ["originals"], async (tx) => {
    let lost = 0;
    for (let cursor = await tx.objectStore("originals").openCursor(); cursor; cursor = await cursor.continue()) {
      const original = cursor.value;
      if ("blob" in original || original.offset + original.length <= (sizes.volumes[original.volume] ?? 0)) continue;
      await cursor.delete();
      lost++;
    }
    return lost;
  });
}

/** Which of the two has the settings that hold, where they differ. */
type SettingsFrom = "journal" | "database";

/** @returns the last frame written, null when the journal lacked nothing. */
async function giveToJournal(
  db: BenchDatabase,
  safe: Safe,
  inventory: Inventory,
  settingsFrom: SettingsFrom,
): Promise<FramePlace | null> {
  let last: FramePlace | null = null;
  const write = async (frame: JournalFrame): Promise<void> => {
    last = await safe.append(JSON.stringify(frame));
  };
  let breaks: JournalBreak[] = [];
  let entries: LogEntry[] = [];
  let originals: PlacedOriginal[] = [];
  let characters = 0;
  const flush = async (): Promise<void> => {
    if (characters > 0) await write({ kind: "commit", entries, breaks, originals });
    [breaks, entries, originals, characters] = [[], [], [], 0];
  };
  for (const id of await db.getAllKeys("breaks")) {
    const tx = db.transaction(["breaks", "summaries", "log"]);
    const [record, summary, log] = await Promise.all([
      tx.objectStore("breaks").get(id),
      tx.objectStore("summaries").get(id),
      tx.objectStore("log").index("breakId").getAll(id),
    ]);
    const known = inventory.breaks.get(id);
    if (record === undefined || (known && !isAhead({ revision: record.revision, lines: log.length }, known))) continue;
    breaks.push({ id, suggested: summary?.suggested ?? "undetermined", record, all: true });
    for (const entry of storedEntries(log)) entries.push(entry);
    characters += JSON.stringify([record, log]).length;
    if (characters >= FRAME_CHARACTERS) await flush();
  }
  for (const hash of await db.getAllKeys("originals")) {
    const original = await db.get("originals", hash);
    if (original === undefined || "blob" in original || inventory.originals.has(hash)) continue;
    originals.push({ hash, ...original });
    characters += 300;
    if (characters >= FRAME_CHARACTERS) await flush();
  }
  await flush();
  const keys = new Set([...(await db.getAllKeys("settings")), ...inventory.settings.keys()]);
  for (const key of keys) {
    if (settingsFrom === "journal" && inventory.settings.has(key)) continue;
    const value = await db.get("settings", key);
    if (!sameContent([value], [inventory.settings.get(key)])) await write({ kind: "setting", key, value });
  }
  return last;
}

interface Reached {
  readonly revision: number;
  readonly lines: number;
}
const isAhead = (one: Reached, other: Reached): boolean =>
  one.revision > other.revision || (one.revision === other.revision && one.lines > other.lines);

/** Whether the journal leads to anything that is not in the database. */
async function lacks(db: BenchDatabase, inventory: Inventory, settingsFrom: SettingsFrom): Promise<boolean> {
  const [originals, settings] = await Promise.all([db.getAllKeys("originals"), db.getAllKeys("settings")]);
  const [hashes, keys] = [new Set(originals), new Set(settings)];
  if ([...inventory.originals].some((hash) => !hashes.has(hash))) return true;
  if (settingsFrom === "journal")
    for (const [key, value] of inventory.settings) if (value !== undefined && !keys.has(key)) return true;
  for (const [id, reached] of inventory.breaks) {
    const record = await db.get("breaks", id);
    const lines = await db.countFromIndex("log", "breakId", id);
    if (record === undefined || isAhead(reached, { revision: record.revision, lines })) return true;
  }
  return false;
}
