import { applyEdit, EditError } from "../../model/break/edits.ts";
import type { WireBreak } from "../../model/break/wire-break.ts";
import { BREAK_TYPE_IDS, type Verdict } from "../../model/evidence/break-type-ids.ts";
import { blindRecord } from "../../model/reference/second/blind-record.ts";
import { readerKey } from "../../model/reference/second/reader-name.ts";
import type { BenchStore, Commit, LogEntry } from "../storage/contract.ts";

/** What a second reader states besides marks. */
export interface DraftWords {
  /** null = not stated yet. */
  readonly type: Verdict | null;
  readonly note: string;
}
export const NO_WORDS: DraftWords = { type: null, note: "" };

interface Head extends DraftWords {
  /** Of the reading it becomes, so that one that was stored is known again when the tab died on the way. */
  readonly readingId: string;
}

type Settings = Pick<BenchStore, "mode" | "getSetting" | "setSetting">;

/**
 * A blind reading on its way, kept on the disk away from the record: a head with the words, and one line per edit, so
 * that each step writes little. It stands in for the bench's store where the desk of a second reader writes.
 */
export class DraftStore implements Pick<BenchStore, "mode" | "load" | "commit"> {
  readonly readingId: string;
  /** Revision of the record whose ends the marks lie on. */
  readonly revision: number;
  words: DraftWords;
  /** Steps that no longer fit, because the photograph they lay on was taken out of the break meanwhile. */
  readonly lost: number;
  readonly #store: Settings;
  readonly #key: string;
  #record: WireBreak;
  #log: readonly LogEntry[];
  #lines: number;
  #kept: boolean;

  private constructor(
    store: Settings,
    key: string,
    head: Head,
    kept: boolean,
    wireBreak: WireBreak,
    lines: readonly Line[],
  ) {
    const { readingId, type, note } = head;
    this.#store = store;
    this.#key = key;
    this.readingId = readingId;
    this.revision = wireBreak.revision;
    this.words = { type, note };
    this.#kept = kept;
    this.#lines = lines.length;
    const { record, log, lost } = replayed(blindRecord(wireBreak), lines);
    this.#record = record;
    this.#log = log;
    this.lost = lost;
  }

  /** Takes up the draft of this reader, or begins one; nothing is written before there is something to keep. @throws StoreError */
  static async open(store: Settings, wireBreak: WireBreak, reader: string, newId: () => string): Promise<DraftStore> {
    const key = draftKey(wireBreak.id, reader);
    const head = headFrom(await store.getSetting(key));
    const lines: Line[] = [];
    if (head !== null)
      for (;;) {
        const line = await store.getSetting<Line>(`${key}/${lines.length}`);
        if (!Array.isArray(line)) break;
        lines.push(line);
      }
    const begun = head ?? { readingId: newId(), ...NO_WORDS };
    return new DraftStore(store, key, begun, head !== null, wireBreak, lines);
  }

  get mode(): "writer" | "reader" {
    return this.#store.mode;
  }

  get record(): WireBreak {
    return this.#record;
  }

  get log(): readonly LogEntry[] {
    return this.#log;
  }

  load(): Promise<{ readonly record: WireBreak; readonly log: readonly LogEntry[] }> {
    return Promise.resolve({ record: this.#record, log: this.#log });
  }

  async commit({ entries, records }: Commit): Promise<readonly LogEntry[]> {
    if (!this.#kept) await this.#keepHead(this.words);
    const seq = (this.#log.at(-1)?.seq ?? 0) + 1;
    const stored = entries.map((entry, i): LogEntry => ({ ...entry, seq: seq + i }));
    await this.#store.setSetting(`${this.#key}/${this.#lines}`, stored);
    this.#lines += 1;
    this.#log = [...this.#log, ...stored];
    this.#record = records[0]?.record ?? this.#record;
    return stored;
  }

  /** @throws StoreError; the words before stay then. */
  async keepWords(words: DraftWords): Promise<void> {
    await this.#keepHead(words);
    this.words = words;
  }

  /** Forgets the draft, the last line first: what is left of one that was cut short is a whole draft of fewer steps. */
  async discard(): Promise<void> {
    if (!this.#kept) return;
    for (let line = this.#lines - 1; line >= 0; line--) await this.#store.setSetting(`${this.#key}/${line}`, undefined);
    await this.#store.setSetting(this.#key, undefined);
    this.#kept = false;
    this.#lines = 0;
  }

  async #keepHead({ type, note }: DraftWords): Promise<void> {
    await this.#store.setSetting(this.#key, { readingId: this.readingId, type, note });
    this.#kept = true;
  }
}

type Line = readonly LogEntry[];

const draftKey = (breakId: string, reader: string): string => `second-reading/${breakId}/${readerKey(reader)}`;

/** Whether a reader has begun to read a break. */
export async function isBegun(store: Settings, breakId: string, reader: string): Promise<boolean> {
  return headFrom(await store.getSetting(draftKey(breakId, reader))) !== null;
}

function headFrom(kept: unknown): Head | null {
  if (typeof kept !== "object" || kept === null) return null;
  const { readingId, type, note } = kept as Partial<Record<keyof Head, unknown>>;
  if (typeof readingId !== "string" || typeof note !== "string") return null;
  const known = type === "undetermined" || (BREAK_TYPE_IDS as readonly unknown[]).includes(type);
  return { readingId, note, type: known ? (type as Verdict) : null };
}

/** Does the kept edits again on the record as it is now. */
function replayed(blind: WireBreak, lines: readonly Line[]) {
  let record = blind;
  let lost = 0;
  const log: LogEntry[] = [];
  for (const entry of lines.flat()) {
    try {
      record = applyEdit(record, entry.edit, entry.at).next;
      log.push({ ...entry, revision: record.revision });
    } catch (error) {
      if (!(error instanceof EditError)) throw error;
      lost++;
    }
  }
  return { record, log, lost };
}
