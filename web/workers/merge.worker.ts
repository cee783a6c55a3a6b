/// <reference lib="webworker" />
import { differing } from "../../model/reference/merge/differing.ts";
import { historyFrom, MergeError } from "../../model/reference/merge/history.ts";
import { knownAgain } from "../../model/reference/merge/known-again.ts";
import { mergedRecord } from "../../model/reference/merge/merge.ts";
import { takeOver } from "../../model/reference/merge/take-over.ts";
import { BenchFileError } from "../storage/bench-file-error.ts";
import { readBreakFile } from "../storage/read-break-file.ts";
import type { KeptBreak, MeetAnswer, MergeRequests, ReadAnswer } from "./merge-protocol.ts";
import { serve } from "./serve.ts";

serve<MergeRequests>(self as unknown as DedicatedWorkerGlobalScope, {
  read: ({ path, bytes }) => Promise.resolve({ output: read(path, bytes) }),
  meet: ({ here, there, coded }) => Promise.resolve({ output: meet(here, there, coded) }),
  standing: (kept) => Promise.resolve({ output: orNull(() => mergedRecord(historyFrom(kept.record, kept.log))) }),
});

function read(path: string, bytes: Uint8Array): ReadAnswer {
  try {
    return { ok: true, whole: readBreakFile(path, bytes) };
  } catch (failure) {
    if (!(failure instanceof BenchFileError)) throw failure;
    return { ok: false, code: failure.code, message: failure.message };
  }
}

function meet(here: KeptBreak, there: KeptBreak, coded: boolean): MeetAnswer {
  const met = orNull(() => {
    const theirs = historyFrom(there.record, there.log);
    return takeOver(here.record, here.log, coded ? knownAgain(historyFrom(here.record, here.log), theirs) : theirs);
  });
  if (met === null) return { together: false, differing: differing(here.record, there.record) };
  const { edit, lines, merged } = met;
  return {
    together: true,
    takeOver: { edit, lines },
    merged: { conflicts: merged.conflicts, swapped: merged.swapped },
  };
}

function orNull<T>(work: () => T): T | null {
  try {
    return work();
  } catch (failure) {
    if (failure instanceof MergeError) return null;
    throw failure;
  }
}
