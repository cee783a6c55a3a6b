import { BenchFileError, stopIfCancelled } from "../storage/bench-file-error.ts";
import type { BenchStore, LongWork } from "../storage/contract.ts";
import { type BenchName, type OtherBench, otherBenches } from "../storage/exchange-folder.ts";
import { layDown, type LaidDown } from "../storage/exchange-lay-down.ts";
import { judge } from "../storage/exchange-judge.ts";
import { takeIn, type Taken } from "../storage/exchange-take.ts";
import { createMergeClient, type MergeClient } from "../workers/merge-client.ts";
import { keepSeen, seenBreaks } from "./meeting-point.ts";

export interface Exchanging {
  readonly store: BenchStore;
  readonly own: BenchName;
  readonly by: string;
  /** ISO 8601. */
  readonly at: string;
}

/** A break of another bench that could not be taken over, and why. */
export interface NotTaken {
  readonly bench: string;
  readonly number: string;
  readonly why: string;
}

export interface Exchanged {
  readonly taken: readonly (Taken & { readonly bench: string })[];
  readonly notTaken: readonly NotTaken[];
  /** Benches met, and the folders of benches that could not be read. */
  readonly met: readonly { readonly name: string; readonly at: string }[];
  readonly unread: readonly string[];
  /** null: stopped or cut off before this bench had laid its own down. */
  laid: LaidDown | null;
}

/**
 * Takes over what other benches have laid down at the meeting point, then lays down what this one has. One break at a
 * time, each whole: cut off anywhere, the next exchange goes on from there.
 *
 * @param told – filled as it goes, so that what was done is known even when it is cut off.
 * @throws FolderError, StoreError, BenchFileError cancelled.
 */
export async function exchangeBenches(
  folder: FileSystemDirectoryHandle,
  exchanging: Exchanging,
  told: (so: Pick<Exchanged, "taken" | "notTaken" | "met" | "unread">) => void,
  work: LongWork,
): Promise<LaidDown> {
  const { store, own, at } = exchanging;
  const taken: Exchanged["taken"][number][] = [];
  const notTaken: NotTaken[] = [];
  const { benches, unread } = await otherBenches(folder, own, work);
  const met = benches.map(({ bench, at }) => ({ name: bench.name, at }));
  const tell = () => told({ taken: [...taken], notTaken: [...notTaken], met, unread });
  tell();
  const merger = createMergeClient();
  try {
    for (const other of benches) await takeBench(other, merger, exchanging, taken, notTaken, tell, work);
  } finally {
    merger.close();
  }
  return layDown(folder, own, store, at, work);
}

async function takeBench(
  { bench, source, hashes }: OtherBench,
  merger: MergeClient,
  { store, by, at }: Exchanging,
  taken: Exchanged["taken"][number][],
  notTaken: NotTaken[],
  tell: () => void,
  work: LongWork,
): Promise<void> {
  const seen = await seenBreaks(store);
  const known: Record<string, string> = { ...seen[bench.id] };
  const fresh = source.breaks.filter(({ path }) => known[path] !== hashes.get(path));
  try {
    for (const [i, from] of fresh.entries()) {
      stopIfCancelled(work.signal);
      try {
        const one = await judge(store, merger, source, from, new Map(), work.signal);
        const taking = { store, merger, source, by, at, foreign: false, signal: work.signal };
        if (one.fate === "apart") {
          const { number, hereNumber } = one;
          notTaken.push({ bench: bench.name, number, why: `${hereNumber} here began as another record` });
        } else {
          const result = await takeIn(taking, one, "leave-out");
          taken.push({ ...result, bench: bench.name });
          // A photograph that has not arrived yet is asked for again next time.
          if (result.lacking.length > 0) continue;
        }
        known[from.path] = hashes.get(from.path)!;
      } catch (error) {
        if (!(error instanceof BenchFileError) || error.code === "cancelled") throw error;
        notTaken.push({ bench: bench.name, number: from.path, why: error.message });
      }
      tell();
      work.onProgress?.({ done: i + 1, total: fresh.length, what: `breaks of ${bench.name}` });
    }
  } finally {
    if (fresh.length > 0) await keepSeen(store, { ...(await seenBreaks(store)), [bench.id]: known });
  }
}
