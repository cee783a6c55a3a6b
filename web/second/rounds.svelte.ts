import {
  inChanceOrder,
  type NotServed,
  type QueueBreak,
  type QueueFilter,
  whyKnown,
  whyNotServed,
  WHOLE_QUEUE,
} from "../../model/reference/second/queue.ts";
import { readerKey } from "../../model/reference/second/reader-name.ts";
import { nextOf, putBack, type Round, roundFrom, withRead, without } from "../../model/reference/second/round.ts";
import { LongTask } from "../log/long-task.svelte.ts";
import type { App } from "../shell/app.svelte.ts";
import type { BreakSummary, LongWork } from "../storage/contract.ts";
import { isBegun } from "./draft-store.ts";

/** A break of the round as it is listed: nothing but how it is called and how far its reading is. */
export interface RoundLine {
  readonly id: string;
  readonly number: string;
  readonly date: string;
  readonly machine: string | null;
  readonly photographs: number;
  readonly state: "read" | "begun" | "waiting";
}

export const DEFAULT_ROUND = 12;

/** What waits for the reader at this bench, and the round they are in. */
export class Rounds {
  readonly task = new LongTask();
  filter = $state.raw<QueueFilter>(WHOLE_QUEUE);
  /** Breaks wanted in a round; null = all there are. */
  wanted = $state<number | null>(DEFAULT_ROUND);
  round = $state.raw<Round | null>(null);
  /** Whose round it is, by `readerKey`; null = not read from the disk yet. */
  loadedFor = $state<string | null>(null);
  begun = $state.raw<ReadonlySet<string>>(new Set());
  readonly #app: App;

  constructor(app: App) {
    this.#app = app;
  }

  readonly reader = $derived.by(() => this.#app.preferences.reader.trim());
  readonly queue = $derived.by(() => this.#app.summaries.filter((s) => !s.binned).map(queueBreak));
  readonly served = $derived.by(() => this.queue.filter((b) => whyNotServed(b, this.reader, this.filter) === null));
  /** How many are not served, and why. */
  readonly left = $derived.by(() => {
    const counts = new Map<NotServed, number>();
    for (const b of this.queue) {
      const why = whyNotServed(b, this.reader, this.filter);
      if (why !== null) counts.set(why, (counts.get(why) ?? 0) + 1);
    }
    return counts;
  });
  readonly machines = $derived.by(() =>
    [...new Set(this.queue.flatMap(({ machine }) => machine ?? []))].sort((a, b) => a.localeCompare(b, "en")),
  );
  readonly lines = $derived.by((): readonly RoundLine[] => {
    const byId = new Map(this.queue.map((b) => [b.id, b]));
    return (this.round?.ids ?? []).flatMap((id) => {
      const found = byId.get(id);
      if (found === undefined) return [];
      const { number, date, machine, photographs } = found;
      const state = this.round?.read.includes(id) ? "read" : this.begun.has(id) ? "begun" : "waiting";
      return [{ id, number, date, machine, photographs, state } as const];
    });
  });
  readonly nextId = $derived.by(() => (this.round === null ? null : nextOf(this.round)));

  /** Reads the round of the reader who is named now. @throws StoreError */
  async load(): Promise<void> {
    const key = readerKey(this.reader);
    if (key === "" || this.loadedFor === key) return;
    const round = roundFrom(await this.#app.bench.getSetting(roundKey(key)));
    if (readerKey(this.reader) !== key) return;
    this.round = round;
    this.loadedFor = key;
    await this.lookAtDrafts();
  }

  /** Which breaks of the round have a reading on its way. */
  async lookAtDrafts(): Promise<void> {
    const { round, reader } = this;
    const begun = new Set<string>();
    for (const id of round?.ids ?? []) if (await isBegun(this.#app.bench, id, reader)) begun.add(id);
    this.begun = begun;
  }

  /** Draws a round by chance from what waits. @returns how many breaks are in it. @throws StoreError */
  async begin(): Promise<number> {
    const { surroundings } = this.#app;
    const drawn = inChanceOrder(
      this.served.map(({ id }) => id),
      surroundings.newId(),
    );
    const ids = await this.task.run("Choosing breaks by chance", (work) => this.#choose(drawn, work));
    if (ids === null || ids.length === 0) return 0;
    await this.#keep({ ids, read: [], begunAt: surroundings.now() });
    await this.lookAtDrafts();
    return ids.length;
  }

  /** Notes that a break was read. */
  async noteRead(id: string): Promise<void> {
    if (this.round !== null) await this.#keep(withRead(this.round, id));
  }

  async putBack(id: string): Promise<void> {
    if (this.round !== null) await this.#keep(putBack(this.round, id));
    await this.lookAtDrafts();
  }

  /** Takes a break out that this reader cannot read blind. */
  async takeOut(id: string): Promise<void> {
    if (this.round !== null) await this.#keep(without(this.round, id));
  }

  /** Ends the round; what is begun stays on the disk. */
  async end(): Promise<void> {
    await this.#app.bench.setSetting(roundKey(readerKey(this.reader)), undefined);
    this.round = null;
  }

  /** The first breaks of the order that this reader does not know, as many as are wanted. */
  async #choose(drawn: readonly string[], { signal, onProgress }: LongWork): Promise<readonly string[]> {
    const most = Math.min(this.wanted ?? Infinity, drawn.length);
    const chosen: string[] = [];
    for (const id of drawn) {
      if (chosen.length >= most || signal?.aborted) break;
      const stored = await this.#app.bench.load(id);
      if (stored !== null && whyKnown(stored.record, this.reader) === null) chosen.push(id);
      onProgress?.({ done: chosen.length, total: most, what: "breaks" });
    }
    return signal?.aborted ? [] : chosen;
  }

  async #keep(round: Round): Promise<void> {
    await this.#app.bench.setSetting(roundKey(readerKey(this.reader)), round);
    this.round = round;
  }
}

const roundKey = (reader: string): string => `second-round/${reader}`;

export function queueBreak(summary: BreakSummary): QueueBreak {
  const { id, number, machine, machineEnd, takeUpEnd, confirmed, confirmedBy, readings = [] } = summary;
  return {
    id,
    number,
    machine,
    date: summary.brokeAt ?? summary.createdAt,
    photographs: machineEnd.photographs + takeUpEnd.photographs,
    bothEndsPhotographed: machineEnd.photographs > 0 && takeUpEnd.photographs > 0,
    labelled: confirmed !== null,
    labelledBy: confirmedBy,
    readBy: readings.map(({ by }) => by),
  };
}

/** One for each application, so that a visit to another screen changes nothing. */
const known = new WeakMap<App, Rounds>();

export function roundsOf(app: App): Rounds {
  const there = known.get(app);
  if (there) return there;
  let rounds: Rounds | null = null;
  $effect.root(() => {
    rounds = new Rounds(app);
  });
  if (rounds === null) throw new Error("The rounds could not be made.");
  known.set(app, rounds);
  return rounds;
}
