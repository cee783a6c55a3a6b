import { MARK_COLUMNS } from "../../model/classifier/mark-columns.ts";
import { teachMost, type OpenBreak } from "../../model/classifier/teach-most.ts";
import type { BreakTypeId } from "../../model/evidence/break-type-ids.ts";
import { roomOf } from "../model/model-room.svelte.ts";
import { keeperOf } from "../numbers/keeper-of-app.ts";
import type { App } from "../shell/app.svelte.ts";
import type { LongWork } from "../storage/contract.ts";
import type { Lessons } from "./lesson-words.ts";

/**
 * Which open breaks would teach the model in use most.
 *
 * @throws ClassifierError when no model can be used; StoreError; DOMException AbortError when cancelled.
 */
export async function lessonsOfLog(app: App, work: LongWork & { readonly signal: AbortSignal }): Promise<Lessons> {
  const room = roomOf(app);
  const count = app.summaries.filter((s) => s.confirmed === null && !s.binned).length;
  work.onProgress?.({ done: 0, total: count, what: "breaks put in numbers" });
  const open = await keeperOf(app).allOpen({
    ...work,
    onProgress: ({ done, total }) => work.onProgress?.({ done, total, what: "breaks put in numbers" }),
  });
  const asked: OpenBreak[] = [];
  for (const { id, vector } of open) {
    work.signal.throwIfAborted();
    const { answer } = await room.ask(vector, []);
    const known = vector.subarray(0, MARK_COLUMNS.length).reduce((n, value) => n + (Number.isNaN(value) ? 0 : 1), 0);
    asked.push({ id, answer, known });
    work.onProgress?.({ done: asked.length, total: open.length, what: "breaks asked about" });
  }
  const list = teachMost(asked, confirmedOf(app));
  return new Map(list.map(({ id, why }, place) => [id, { place, why }]));
}

/** Confirmed breaks of each type on the bench, the invented ones not counted. */
function confirmedOf(app: App): Partial<Record<BreakTypeId, number>> {
  const counts: Partial<Record<BreakTypeId, number>> = {};
  for (const { confirmed, demo, binned } of app.summaries) {
    if (confirmed === null || confirmed === "undetermined" || demo || binned) continue;
    const type = confirmed as BreakTypeId;
    counts[type] = (counts[type] ?? 0) + 1;
  }
  return counts;
}
