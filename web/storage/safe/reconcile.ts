import type { BenchDatabase } from "../database.ts";
import { strictly } from "../database.ts";
import type { Recovered } from "../contract.ts";
import { applyFrames } from "./apply-frames.ts";
import type { Checkpoint } from "./checkpoint.ts";
import { CHECKPOINT } from "./checkpoint.ts";
import { SCAN_BYTES } from "./inventory.ts";
import { lastSeq } from "./meet.ts";
import { meet } from "./meet.ts";
import type { Safe } from "./safe.ts";

/**
 * Makes database and journal say the same before the first write: what the journal has more (the browser was ended
 * between the two) goes into the database; where they do not know each other, they are brought together.
 * Can be cut off anywhere; the next start goes on.
 *
 * @returns where both stand, and what was recovered, null when the database needed no rebuilding.
 */
export async function reconcile(
  db: BenchDatabase,
  safe: Safe,
): Promise<{ readonly checkpoint: Checkpoint; readonly recovered: Recovered | null }> {
  let lost = 0;
  let checkpoint = await db.get("safe", CHECKPOINT);
  if (checkpoint === undefined || !(await knows(safe, checkpoint))) ({ checkpoint, lost } = await meet(db, safe));
  let damaged = 0;
  while (checkpoint.upTo < safe.sizes.journal) {
    const scan = await safe.scan(checkpoint.upTo, SCAN_BYTES);
    if (scan.tornAt !== null) await safe.cut({ ...safe.sizes, journal: scan.tornAt });
    damaged += scan.damaged;
    const { frames } = scan;
    const last = frames.at(-1);
    const { rebuilding } = checkpoint;
    const after: Checkpoint = {
      ...checkpoint,
      frame: last ? { start: last.start, end: last.end, crc: last.crc } : checkpoint.frame,
      upTo: scan.tornAt ?? scan.next,
      ...(rebuilding ? { rebuilding: { damaged: rebuilding.damaged + scan.damaged } } : {}),
    };
    checkpoint = await applyFrames(db, frames, after, safe.sizes);
  }
  const { rebuilding, ...rest } = checkpoint;
  const whole: Checkpoint = { ...rest, seq: Math.max(rest.seq, await lastSeq(db)) };
  if (rebuilding === undefined) {
    const harm = damaged + lost;
    return { checkpoint: whole, recovered: harm === 0 ? null : { breaks: 0, entries: 0, damaged: harm } };
  }
  const [breaks, entries] = await Promise.all([db.count("breaks"), db.count("log")]);
  await strictly(db, ["safe"], async (tx) => void (await tx.objectStore("safe").put(whole, CHECKPOINT)));
  return { checkpoint: whole, recovered: { breaks, entries, damaged: rebuilding.damaged + lost } };
}

/** Whether the journal is the one this checkpoint speaks of, and still reaches as far. */
async function knows(safe: Safe, { frame, upTo }: Checkpoint): Promise<boolean> {
  if (upTo > safe.sizes.journal) return false;
  return frame === null || safe.holds(frame);
}
