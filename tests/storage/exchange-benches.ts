import { BlobWriter, Uint8ArrayReader, ZipWriter } from "@zip.js/zip.js/index-native.js";
import { applyEdit, type Edit } from "../../model/break/edits.ts";
import { newBreak } from "../../model/break/new-break.ts";
import type { Verdict } from "../../model/evidence/break-type-ids.ts";
import { suggest } from "../../model/evidence/suggest.ts";
import { observe } from "../../model/measure/observe.ts";
import type { SetOptions } from "../../model/reference/export/set-options.ts";
import { writeSet } from "../../model/reference/export/write-set.ts";
import { setBreakOf, type SetBreak, type Split } from "../../model/reference/member.ts";
import { DEFAULT_PLAN } from "../../model/reference/splits.ts";
import { breakFile } from "../../web/storage/bench-file-format.ts";
import { sha256Hex } from "../../web/storage/canonical.ts";
import type { BenchStore, NewOriginal } from "../../web/storage/contract.ts";
import { benchFileSource } from "../../web/storage/exchange-bench-file.ts";
import { judge, type Judged, photographsHere } from "../../web/storage/exchange-judge.ts";
import type { BreakSource } from "../../web/storage/exchange-source.ts";
import { takeIn, type Taken } from "../../web/storage/exchange-take.ts";
import { summarise } from "../../web/storage/summary.ts";
import { createMergeClient, type MergeClient } from "../../web/workers/merge-client.ts";

import { mark, newOriginal, photograph, working } from "./workbench.ts";

/** A time of the week, in minutes from its beginning. */
export const minute = (n: number): string => new Date(Date.UTC(2026, 2, 2, 8, n)).toISOString();

/** Makes one edit as a person at the bench does. */
export async function edited(
  store: BenchStore,
  id: string,
  make: Edit,
  by: string,
  at: string,
  originals: readonly NewOriginal[] = [],
): Promise<void> {
  const stored = await store.load(id);
  const { next, inverse } = applyEdit(stored!.record, make, at);
  const { revision } = next;
  await store.commit({
    entries: [{ breakId: id, revision, edit: make, inverse, origin: "reader", of: null, by, at }],
    records: [{ record: next, summary: summarise(next, "undetermined") }],
    originals,
  });
}

export async function begun(store: BenchStore, id: string, number: string, edit: Edit, at: string): Promise<void> {
  const { next, inverse } = applyEdit(newBreak(id, number, at), edit, at);
  await store.commit({
    entries: [{ breakId: id, revision: 1, edit, inverse, origin: "reader", of: null, by: "AB", at }],
    records: [{ record: next, summary: summarise(next, "undetermined") }],
  });
}

export async function benchFileOf(
  store: BenchStore,
  ids: readonly string[] | null = null,
  settings: unknown = null,
): Promise<Blob> {
  const parts: Uint8Array<ArrayBuffer>[] = [];
  const to = new WritableStream<Uint8Array>({ write: (part) => void parts.push(new Uint8Array(part)) });
  await store.exportBench(ids, to, {}, settings);
  return new Blob(parts);
}

export async function withMerger<T>(work: (merger: MergeClient) => Promise<T>): Promise<T> {
  const merger = createMergeClient();
  try {
    return await work(merger);
  } finally {
    merger.close();
  }
}

export async function judged(store: BenchStore, source: BreakSource): Promise<readonly Judged[]> {
  return withMerger(async (merger) => {
    const photographs = await photographsHere(store);
    const list: Judged[] = [];
    for (const from of source.breaks) list.push(await judge(store, merger, source, from, photographs));
    return list;
  });
}

export async function takenIn(
  store: BenchStore,
  source: BreakSource,
  at: string,
  apart: "copy" | "leave-out" = "copy",
  foreign = source.coded,
): Promise<readonly Taken[]> {
  const list = await judged(store, source);
  return withMerger(async (merger) => {
    const taken: Taken[] = [];
    for (const one of list)
      taken.push(await takeIn({ store, merger, source, by: "at this bench", at, foreign }, one, apart));
    return taken;
  });
}

/** One bench reads the bench file of the other. */
export async function meets(here: BenchStore, there: BenchStore, at: string): Promise<readonly Taken[]> {
  return takenIn(here, await benchFileSource(await benchFileOf(there), "bench.zip", {}), at);
}

const OPTIONS: SetOptions = {
  name: "lab-breaks",
  version: "1.0.0",
  date: "2026-03-31",
  description: "Breaks of another lab.",
  creator: "Hollowmoor Wire (invented)",
  url: "https://example.org/breaks",
  licence: "CC-BY-4.0",
  peopleSeed: "seed",
  metadata: "position",
  withRecords: true,
  plan: DEFAULT_PLAN,
  app: "Endpair test",
};

/** A reference set of confirmed breaks, as a zip. @param change – spoils a file after its hash was taken. */
export async function setOf(
  store: BenchStore,
  over: Partial<SetOptions> = {},
  change: (path: string, bytes: Uint8Array<ArrayBuffer>) => Uint8Array<ArrayBuffer> = (_path, bytes) => bytes,
): Promise<Blob> {
  const zip = new ZipWriter(new BlobWriter("application/zip"), { useWebWorkers: false, keepOrder: true });
  const put = async (path: string, bytes: Uint8Array<ArrayBuffer>): Promise<string> => {
    await zip.add(path, new Uint8ArrayReader(change(path, bytes)));
    return sha256Hex(bytes);
  };
  const members: SetBreak[] = [];
  for (const { id } of await store.summaries()) {
    const member = setBreakOf((await store.load(id))!.record);
    if (member !== null) members.push(member);
  }
  const splits = new Map(members.map((m) => [m.id, "train"] as [string, Split]));
  await writeSet(
    {
      async breakOf(id) {
        const { record, log } = (await store.load(id))!;
        const file = breakFile(record, log, suggest(observe(record)).verdict);
        return { record, log, file };
      },
      async original(hash) {
        const blob = await store.original(hash);
        return blob === null ? null : new Uint8Array(await blob.arrayBuffer());
      },
      redraw: () => Promise.resolve(null),
    },
    { addPicture: put, addText: (path, text) => put(path, new TextEncoder().encode(text)) },
    { members, splits },
    { ...OPTIONS, ...over },
  );
  return zip.close();
}

export const confirmed = (id: string, type: Verdict, by: string, at: string): Edit => ({
  kind: "add-confirmation",
  confirmation: {
    kind: "confirmed",
    id,
    type,
    means: ["both-ends-microscope"],
    reason: "seen on both ends",
    by,
    at,
    suggestion: suggest(observe(newBreak("some", "some", at))),
    revision: 0,
  },
});

/** A picture that any program can read: a grey field with a spot whose place follows `seed`. */
export async function realPicture(seed: number): Promise<Uint8Array<ArrayBuffer>> {
  const canvas = new OffscreenCanvas(400, 300);
  const context = canvas.getContext("2d")!;
  context.fillStyle = "#777";
  context.fillRect(0, 0, 400, 300);
  context.fillStyle = "#ddd";
  context.fillRect(20 + 30 * seed, 40, 50, 60);
  return new Uint8Array(await (await canvas.convertToBlob({ type: "image/png" })).arrayBuffer());
}

/** A break with one picture on the machine end and a mark on it, stored. */
export async function storeRealBreak(store: BenchStore, id: string, seed: number): Promise<void> {
  const original = { ...(await newOriginal(await realPicture(seed), `${id}.png`)), mediaType: "image/png" };
  const work = working(id)
    .edit({ kind: "add-photograph", side: "machine", index: 0, photograph: photograph(`${id}-p`, original) })
    .edit({ kind: "add-mark", side: "machine", index: 0, mark: mark(`${id}-m`, `${id}-p`) });
  await store.commit(work.commit([original]));
}

/** Records without what every bench counts for itself. */
export async function contentOf(store: BenchStore): Promise<ReadonlyMap<string, object>> {
  const found = new Map<string, object>();
  for (const { id } of await store.summaries())
    found.set(id, { ...(await store.load(id))!.record, revision: 0, updatedAt: "" });
  return new Map([...found].sort(([a], [b]) => (a < b ? -1 : 1)));
}
