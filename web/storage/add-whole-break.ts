import type { BenchWriter } from "./bench-writer.ts";
import { conflict } from "./change.ts";
import type { LogEntry, WholeBreak } from "./contract.ts";
import type { BenchDatabase } from "./database.ts";
import { storableRecord } from "./stored.ts";
import { summarise } from "./summary.ts";

/** Log lines of a break from elsewhere with the numbers they get on this bench, from `seq + 1` on. */
export function logLinesOf({ record, log }: WholeBreak, seq: number): readonly LogEntry[] {
  const numbers = new Map(log.map(({ n }, i) => [n, seq + 1 + i]));
  return log.map(({ n: _n, of, ...line }, i) => ({
    ...line,
    breakId: record.id,
    of: of === null ? null : (numbers.get(of) ?? null),
    seq: seq + 1 + i,
  }));
}

/**
 * Adds a break with its log, all of it or nothing.
 *
 * @throws StoreError conflict when a break with its identifier is there; damaged-record; disk-full, terminated.
 */
export function addWholeBreak(db: BenchDatabase, writer: BenchWriter, whole: WholeBreak): Promise<void> {
  const copy = JSON.parse(JSON.stringify(whole)) as WholeBreak;
  const record = storableRecord(copy.record);
  return writer.alone(async (seq) => {
    const onDisk = await db.get("breaks", record.id);
    if (onDisk !== undefined) throw conflict(record, onDisk);
    const records = [{ before: undefined, record, summary: summarise(record, copy.suggested) }];
    return { change: { entries: logLinesOf(copy, seq), records }, result: undefined };
  });
}
