/// <reference lib="webworker" />
import { NoCoco, readCocoMarks } from "../../model/reference/import/coco.ts";
import { readOldRecords } from "../../model/reference/import/csv.ts";
import type { ImportRequests, Read } from "./import-protocol.ts";
import { serve } from "./serve.ts";

serve<ImportRequests>(self as unknown as DedicatedWorkerGlobalScope, {
  coco: ({ text, meaning }) =>
    Promise.resolve({ output: told(() => readCocoMarks(JSON.parse(text) as unknown, meaning)) }),
  table: ({ text, mapping, separator, there }) =>
    Promise.resolve({ output: told(() => readOldRecords(text, mapping, separator, there)) }),
});

/** What is wrong with a text is an answer. */
function told<T>(work: () => T): Read<T> {
  try {
    return { ok: true, value: work() };
  } catch (failure) {
    if (failure instanceof SyntaxError) return { ok: false, says: "It is no JSON that can be read." };
    if (failure instanceof NoCoco || failure instanceof RangeError) return { ok: false, says: failure.message };
    throw failure;
  }
}
