import type { Edit } from "../../model/break/edits.ts";
import { originalsOf } from "../../model/break/originals.ts";
import type { Difference } from "../../model/reference/merge/differing.ts";
import type { MergeConflict } from "../../model/reference/merge/merge.ts";
import type { MeetAnswer, MergeClient } from "../workers/merge-client.ts";
import type { BenchStore, WholeBreak } from "./contract.ts";
import type { BreakSource, SourceBreak } from "./exchange-source.ts";

/** What would become of a break of others on this bench. */
export type Judged = { readonly from: SourceBreak; readonly number: string; readonly id: string } & (
  | { readonly fate: "new" }
  | { readonly fate: "same"; readonly hereId: string }
  /** Both began as one break: what the other bench did is taken over. */
  | {
      readonly fate: "merge";
      readonly hereId: string;
      /** Edits of the other that are new here. */
      readonly lines: number;
      readonly conflicts: readonly MergeConflict[];
    }
  /** Known, but recorded a second time from the beginning: a person says what becomes of it. */
  | {
      readonly fate: "apart";
      readonly hereId: string;
      readonly hereNumber: string;
      readonly knownBy: "identity" | "photographs";
      readonly differing: readonly Difference[];
    }
);

export type TakeOverEdit = Extract<Edit, { readonly kind: "take-over" }>;

/** Photographs of this bench by hash → the break they lie in, so that a break is known again without its identifier. */
export type ByPhotograph = ReadonlyMap<string, string>;

/** Reads every record of the bench once. */
export async function photographsHere(store: BenchStore, signal?: AbortSignal): Promise<ByPhotograph> {
  const found = new Map<string, string>();
  for (const { id } of await store.summaries()) {
    signal?.throwIfAborted();
    const stored = await store.load(id);
    if (stored !== null) for (const { hash } of originalsOf(stored.record)) found.set(hash, id);
  }
  return found;
}

/** What would become of one break; nothing is written. @throws BenchFileError, StoreError, PictureError cancelled. */
export async function judge(
  store: BenchStore,
  merger: MergeClient,
  source: BreakSource,
  from: SourceBreak,
  byPhotograph: ByPhotograph,
  signal?: AbortSignal,
): Promise<Judged> {
  const whole = await merger.read(from.path, await from.read(signal), signal);
  const { id, number } = whole.record;
  const what = { from, id, number };
  const here = await store.load(id);
  if (here !== null) {
    const met = await merger.meet(here, whole, source.coded, signal);
    if (!met.together)
      return {
        ...what,
        fate: "apart",
        hereId: id,
        hereNumber: here.record.number,
        knownBy: "identity",
        differing: met.differing,
      };
    if (met.takeOver.edit === null) return { ...what, fate: "same", hereId: id };
    return { ...what, fate: "merge", hereId: id, lines: met.takeOver.lines, conflicts: met.merged.conflicts };
  }
  const copied = await copyHere(store, whole);
  if (copied !== null) return { ...what, fate: "same", hereId: copied };
  return (await knownByPhotographs(store, merger, whole, byPhotograph, what, signal)) ?? { ...what, fate: "new" };
}

/** A copy that was made of exactly this break before. */
async function copyHere(store: BenchStore, whole: WholeBreak): Promise<string | null> {
  const { copyId } = await import("./import-bench.ts");
  const id = await copyId(whole);
  return (await store.load(id)) === null ? null : id;
}

async function knownByPhotographs(
  store: BenchStore,
  merger: MergeClient,
  whole: WholeBreak,
  byPhotograph: ByPhotograph,
  what: Pick<Judged, "from" | "id" | "number">,
  signal: AbortSignal | undefined,
): Promise<Judged | null> {
  const hereId = originalsOf(whole.record).flatMap(({ hash }) => byPhotograph.get(hash) ?? [])[0];
  const here = hereId === undefined ? null : await store.load(hereId);
  if (here === null || hereId === undefined) return null;
  const met: MeetAnswer = await merger.meet(here, whole, true, signal);
  return {
    ...what,
    fate: "apart",
    hereId,
    hereNumber: here.record.number,
    knownBy: "photographs",
    differing: met.together ? [] : met.differing,
  };
}
