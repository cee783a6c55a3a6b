import { parseWireBreak } from "../../model/break/record-schema.ts";
import type { WireBreak } from "../../model/break/wire-break.ts";
import type { LogEntry, NewLogEntry } from "./contract.ts";
import { StoreError } from "./contract.ts";

/**
 * A record as it came from the disk, checked and brought to this version.
 *
 * @throws StoreError damaged-record.
 */
export function storedRecord(onDisk: unknown): WireBreak {
  return checked(onDisk, "This break cannot be read", "Leave it as it is and import it from your last bench file.");
}

/**
 * A record on its way to the disk, checked, so that what is stored can always be read again.
 *
 * @throws StoreError damaged-record.
 */
export function storableRecord(record: unknown): WireBreak {
  return checked(record, "This change cannot be stored", "Correct that field and try again; nothing was written.");
}

function checked(record: unknown, what: string, next: string): WireBreak {
  try {
    return parseWireBreak(record);
  } catch (failure) {
    const why = failure instanceof Error ? failure.message : "no reason given";
    throw new StoreError("damaged-record", `${what}: ${why}`, next);
  }
}

/** Log lines as the database gave them: numbered, in the order of their transactions. */
export function storedEntries(onDisk: readonly (NewLogEntry & { readonly seq?: number })[]): readonly LogEntry[] {
  return onDisk.map(({ seq, ...entry }) => {
    if (seq === undefined) throw new StoreError("damaged-record", "A log line has no number.", "Reload this page.");
    return { ...entry, seq };
  });
}
