import { applyEdit, type Edit } from "../../model/break/edits.ts";
import type { CameWith, WireBreak } from "../../model/break/wire-break.ts";
import { suggest } from "../../model/evidence/suggest.ts";
import { observe } from "../../model/measure/observe.ts";
import type { MergeClient } from "../workers/merge-client.ts";
import { namedOriginals } from "./bench-file-format.ts";
import type { BenchStore, LogEntry, NewLogEntry, NewOriginal, WholeBreak } from "./contract.ts";
import { StoreError } from "./contract.ts";
import type { Judged } from "./exchange-judge.ts";
import type { BreakSource } from "./exchange-source.ts";
import { copyUnderNewNumber, freeNumber } from "./import-bench.ts";
import { summarise } from "./summary.ts";

export interface Taking {
  readonly store: BenchStore;
  readonly merger: MergeClient;
  readonly source: BreakSource;
  readonly by: string;
  /** ISO 8601. */
  readonly at: string;
  /**
   * Breaks of another lab: each remembers what it came with, and one whose number is taken here gets another. Within a
   * lab nothing is added to the log, so that benches that meet again find nothing new.
   */
  readonly foreign: boolean;
  readonly signal?: AbortSignal | undefined;
}

/** What became of a break. */
export interface Taken {
  readonly fate: "added" | "merged" | "copied" | "same" | "left-out";
  readonly id: string;
  readonly number: string;
  /** Photographs that came with it, and those it names that the source does not carry. */
  readonly originals: number;
  readonly lacking: readonly string[];
}

/** Photographs of one write, bytes; so much is in memory at once. */
const BATCH_BYTES = 64 * 1024 * 1024;

/**
 * Takes one break in: photographs first, then the break with its log in one write, so a crash leaves whole breaks only.
 * What was judged is looked at again: the bench may have gone on since.
 *
 * @param apart – what becomes of a break that is known here but began by itself.
 * @throws BenchFileError, StoreError, PictureError cancelled.
 */
export async function takeIn(taking: Taking, judged: Judged, apart: "copy" | "leave-out"): Promise<Taken> {
  const { store, merger, source, signal } = taking;
  const { number } = judged;
  const nothing = { number, originals: 0, lacking: [] };
  if (judged.fate === "same") {
    // Photographs may still lack that were not whole, or not there, when the break came.
    const here = await store.load(judged.hereId);
    const carried = here === null ? {} : await takeOriginals(taking, here);
    return { ...nothing, ...carried, fate: "same", id: judged.hereId };
  }
  if (judged.fate === "apart" && apart === "leave-out") return { ...nothing, fate: "left-out", id: judged.hereId };
  const whole = await merger.read(judged.from.path, await judged.from.read(signal), signal);
  const carried = await takeOriginals(taking, whole);
  if (judged.fate === "apart") return { ...(await addCopy(taking, whole)), ...carried };
  const here = await store.load(whole.record.id);
  if (here === null) return { ...(await addNew(taking, whole)), ...carried };
  const met = await merger.meet(here, whole, source.coded, signal);
  if (!met.together)
    throw new StoreError(
      "conflict",
      `Break ${here.record.number} was changed here while it was being taken in.`,
      "Look at the file again; nothing of this break was changed.",
    );
  const { edit } = met.takeOver;
  if (edit === null) return { ...nothing, fate: "same", id: here.record.id };
  const { next, entries } = entriesFor(here.record, [edit, ...sourceEdit(taking, here.record, edit)], taking);
  await store.commit({ entries, records: [{ record: next, summary: summaryOf(next) }] });
  return { fate: "merged", id: next.id, number: next.number, ...carried };
}

const summaryOf = (record: WireBreak) => summarise(record, suggest(observe(record)).verdict);

/** The edit that notes what a break came with; none within a lab, and none when it says so already. */
function sourceEdit({ foreign, source, by, at }: Taking, record: WireBreak, after?: Edit): readonly Edit[] {
  if (!foreign) return [];
  const now = after === undefined ? record : applyEdit(record, after, at).next;
  const list = now.cameWith ?? [];
  const mine: CameWith = { ...source.says, by, at };
  const known = list.some(({ kind, name, version, sha256 }) =>
    [kind === mine.kind, name === mine.name, version === mine.version, sha256 === mine.sha256].every(Boolean),
  );
  return known ? [] : [{ kind: "set-came-with", list: [...list, mine] }];
}

function entriesFor(
  record: WireBreak,
  edits: readonly Edit[],
  { by, at }: Taking,
): { readonly next: WireBreak; readonly entries: readonly NewLogEntry[] } {
  let next = record;
  const entries = edits.map((edit): NewLogEntry => {
    const applied = applyEdit(next, edit, at);
    next = applied.next;
    const { id: breakId, revision } = next;
    return { breakId, revision, edit, inverse: applied.inverse, origin: "import", of: null, by, at };
  });
  return { next, entries };
}

async function addNew(taking: Taking, whole: WholeBreak): Promise<Pick<Taken, "fate" | "id" | "number">> {
  const { store, foreign } = taking;
  const { record } = whole;
  const numbers = new Set((await store.summaries()).map((summary) => summary.number));
  const renamed: readonly Edit[] =
    foreign && numbers.has(record.number) ? [{ kind: "set-number", number: freeNumber(record.number, numbers) }] : [];
  const { next, entries } = entriesFor(record, [...renamed, ...sourceEdit(taking, record)], taking);
  const lines = entries.map(({ breakId: _id, ...line }, i) => ({ ...line, n: whole.log.length + 1 + i }));
  await store.addBreak({ ...whole, record: next, log: [...whole.log, ...lines] });
  return { fate: "added", id: next.id, number: next.number };
}

async function addCopy(taking: Taking, whole: WholeBreak): Promise<Pick<Taken, "fate" | "id" | "number">> {
  const numbers = new Set((await taking.store.summaries()).map((summary) => summary.number));
  const copy = await copyUnderNewNumber(whole, taking, numbers);
  const { next, entries } = entriesFor(copy.record, sourceEdit(taking, copy.record), taking);
  const lines = entries.map(({ breakId: _id, ...line }, i) => ({ ...line, n: copy.log.length + 1 + i }));
  await taking.store.addBreak({ ...copy, record: next, log: [...copy.log, ...lines] });
  return { fate: "copied", id: next.id, number: next.number };
}

/** Stores the photographs a break needs that are not here yet. */
async function takeOriginals(
  { store, source, signal }: Taking,
  { record, log }: { readonly record: WireBreak; readonly log: WholeBreak["log"] | readonly LogEntry[] },
): Promise<Pick<Taken, "originals" | "lacking">> {
  const named = [...namedOriginals(record, log).values()];
  const known = await store.known(named.map(({ hash }) => hash));
  const lacking: string[] = [];
  let originals = 0;
  let batch: Omit<NewOriginal, "thumbnail" | "working">[] = [];
  const flush = async (): Promise<void> => {
    if (batch.length > 0) await store.addOriginals(batch);
    originals += batch.length;
    batch = [];
  };
  for (const { hash, fileName } of named) {
    if (known.has(hash)) continue;
    const original = await source.original(hash, fileName, signal);
    if (original === null) lacking.push(fileName);
    else batch.push(original);
    if (batch.reduce((sum, one) => sum + one.original.size, 0) >= BATCH_BYTES) await flush();
  }
  await flush();
  return { originals, lacking };
}
