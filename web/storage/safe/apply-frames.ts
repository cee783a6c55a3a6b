import type { WireBreak } from "../../../model/break/wire-break.ts";
import type { LogEntry } from "../contract.ts";
import type { BenchDatabase, BenchStoreName, BenchTransaction } from "../database.ts";
import { strictly } from "../database.ts";
import { summarise } from "../summary.ts";
import type { Checkpoint } from "./checkpoint.ts";
import { CHECKPOINT } from "./checkpoint.ts";
import type { JournalBreak, JournalFrame, PlacedOriginal } from "./journal.ts";
import { follow, linesByBreak, readFrame } from "./journal.ts";
import type { TextFrame } from "./protocol.ts";
import type { SafeSizes } from "./safe-files.ts";

type Transaction = BenchTransaction<BenchStoreName[]>;
const STORES: BenchStoreName[] = ["breaks", "summaries", "log", "originals", "settings", "safe"];

/**
 * Brings frames of the journal into the database, in one transaction together with the checkpoint after them.
 * Lines and originals that are there already stay as they are, so following the same frame twice changes nothing.
 * Lines that do not follow the record (a frame between was lost) are left in the journal alone, until a frame brings
 * the whole record.
 *
 * @param after – the checkpoint once these frames are in; its `seq` is raised to theirs.
 * @returns that checkpoint as it was written.
 */
export function applyFrames(
  db: BenchDatabase,
  frames: readonly TextFrame[],
  after: Checkpoint,
  sizes: SafeSizes,
): Promise<Checkpoint> {
  const contents = frames.map(({ text }) => readFrame(text)).filter((content) => content !== null);
  return strictly(db, STORES, async (tx) => {
    const records = new Map<string, Kept>();
    let missing = 0;
    let { seq } = after;
    for (const content of contents)
      if (content.kind === "setting") await applySetting(tx, content);
      else {
        for (const original of content.originals) missing += await applyOriginal(tx, original, sizes);
        const entries = linesByBreak(content.entries);
        for (const one of content.breaks) await applyBreak(tx, records, one, entries.get(one.id) ?? []);
        for (const entry of content.entries) seq = Math.max(seq, entry.seq);
      }
    const puts = [...records.values()].flatMap(({ record, suggested }) =>
      record === null
        ? []
        : [tx.objectStore("breaks").put(record), tx.objectStore("summaries").put(summarise(record, suggested))],
    );
    await Promise.all(puts);
    const { rebuilding, ...rest } = after;
    const written: Checkpoint = {
      ...rest,
      seq,
      ...(rebuilding ? { rebuilding: { damaged: rebuilding.damaged + missing } } : {}),
    };
    await tx.objectStore("safe").put(written, CHECKPOINT);
    return written;
  });
}

/** A record as the frames leave it; null while none was read. */
interface Kept {
  record: WireBreak | null;
  suggested: string;
}

async function applyBreak(
  tx: Transaction,
  records: Map<string, Kept>,
  { id, record, suggested, all }: JournalBreak,
  entries: readonly LogEntry[],
): Promise<void> {
  const kept = records.get(id) ?? { record: (await tx.objectStore("breaks").get(id)) ?? null, suggested };
  records.set(id, kept);
  const revision = kept.record?.revision ?? -1;
  if (record !== undefined) {
    if (revision > record.revision) return;
    // The log must lead to the record without a gap: lines from before a gap stay in the journal alone.
    const first = record.revision - entries.length;
    const gap = kept.record !== null && entries.length > 0 && revision < first;
    if (all || gap) await removeLog(tx, id);
    kept.record = record;
  } else {
    const fresh = entries.filter((entry) => entry.revision > revision);
    const next = kept.record && follow(kept.record, fresh);
    if (next === null) return;
    kept.record = next;
  }
  kept.suggested = suggested;
  await Promise.all(entries.map((entry) => tx.objectStore("log").put(entry)));
}

async function removeLog(tx: Transaction, breakId: string): Promise<void> {
  const log = tx.objectStore("log");
  const lines = await log.index("breakId").getAllKeys(breakId);
  await Promise.all(lines.map((seq) => log.delete(seq)));
}

/** @returns 1 when its bytes are not there, else 0. */
async function applyOriginal(
  tx: Transaction,
  { hash, fileName, mediaType, volume, offset, length }: PlacedOriginal,
  sizes: SafeSizes,
): Promise<0 | 1> {
  if (offset + length > (sizes.volumes[volume] ?? 0)) return 1;
  const onDisk = await tx.objectStore("originals").get(hash);
  if (onDisk === undefined || "blob" in onDisk)
    await tx.objectStore("originals").put({ fileName, mediaType, volume, offset, length }, hash);
  return 0;
}

async function applySetting(
  tx: Transaction,
  { key, value }: Extract<JournalFrame, { kind: "setting" }>,
): Promise<void> {
  if (value === undefined) await tx.objectStore("settings").delete(key);
  else await tx.objectStore("settings").put(value, key);
}
