import type { WireBreak } from "../../model/break/wire-break.ts";
import type { Verdict } from "../../model/evidence/break-type-ids.ts";
import type { AgreementFigures } from "../../model/reference/second/figures.ts";
import { marksDiffer, type PairRead, type ReadBreak, typesDiffer } from "../../model/reference/second/read-break.ts";
import { samePerson } from "../../model/reference/second/reader-name.ts";
import { PictureError } from "../../model/picture/picture-error.ts";
import { LongTask } from "../log/long-task.svelte.ts";
import type { App } from "../shell/app.svelte.ts";
import type { BreakSummary, LongWork } from "../storage/contract.ts";
import type { AgreementClient } from "../workers/agreement-client.ts";

/** A pair of readings that differ, in its break. */
export interface Difference {
  readonly of: ReadBreak;
  readonly pair: PairRead;
}

export interface DifferenceFilter {
  readonly state: "open" | "settled" | "all";
  /** Either reader gave it; null = any. */
  readonly type: Verdict | null;
  /** Either reader; null = anybody. */
  readonly reader: string | null;
}

/** Breaks compared at a time: the thread is told to stop between two of them. */
const AT_ONCE = 20;

/** What several readers made of the breaks of this bench. */
export class Readers {
  readonly task = new LongTask();
  reads = $state.raw<readonly ReadBreak[] | null>(null);
  figures = $state.raw<AgreementFigures | null>(null);
  stopped = $state(false);
  filter = $state.raw<DifferenceFilter>({ state: "open", type: null, reader: null });
  readonly #app: App;
  readonly #client: AgreementClient;
  /** By break, with the state it was compared in; null = read by the first reader only. */
  readonly #known = new Map<string, { readonly of: string; readonly read: ReadBreak | null }>();
  #waiting = false;

  constructor(app: App, client: AgreementClient) {
    this.#app = app;
    this.#client = client;
  }

  /** Invented breaks count only where there are no others: no figure about them is one about this lab. */
  readonly counted = $derived.by((): readonly ReadBreak[] => {
    const own = (this.reads ?? []).filter(({ demo }) => !demo);
    return own.length > 0 ? own : (this.reads ?? []);
  });
  readonly invented = $derived.by(() => this.counted.length > 0 && this.counted.every(({ demo }) => demo));
  readonly typeDifferences = $derived.by(() => this.#differing(typesDiffer));
  readonly markDifferences = $derived.by(() => this.#differing((pair) => !typesDiffer(pair) && marksDiffer(pair)));
  readonly shownTypes = $derived.by(() => this.#shown(this.typeDifferences));
  readonly shownMarks = $derived.by(() => this.#shown(this.markDifferences));
  readonly people = $derived.by(() => {
    const names = (this.reads ?? []).flatMap(({ pairs }) =>
      pairs.flatMap(({ first, second }) => [first.by, second.by]),
    );
    return names.filter((name, i) => names.findIndex((other) => samePerson(name, other)) === i).sort();
  });
  /** Changes when a break is read a second time, settled or put into the bin. */
  readonly stateOfLog = $derived.by(() =>
    this.#wanted()
      .map((s) => `${s.id} ${s.revision ?? s.updatedAt}`)
      .join("\n"),
  );

  /** Compares what has changed since it was last asked. @throws StoreError */
  async read(): Promise<void> {
    if (this.task.running) {
      this.#waiting = true;
      return;
    }
    this.stopped = false;
    do {
      this.#waiting = false;
      await this.task.run("Comparing readings", (work) => this.#compare(work));
    } while (this.#waiting && !this.stopped);
  }

  close(): void {
    this.task.cancel();
    this.#client.close();
  }

  #wanted(): readonly BreakSummary[] {
    return this.#app.summaries.filter((s) => !s.binned && (s.readings?.length ?? 0) > 0);
  }

  async #compare({ signal, onProgress }: LongWork): Promise<void> {
    const wanted = this.#wanted();
    const changed = wanted.filter((s) => this.#known.get(s.id)?.of !== stateOf(s));
    try {
      for (let i = 0; i < changed.length; i += AT_ONCE) {
        signal?.throwIfAborted();
        const some = changed.slice(i, i + AT_ONCE);
        const records = await this.#records(some);
        const found = new Map((await this.#client.compare(records, signal)).map((read) => [read.id, read]));
        for (const s of some) this.#known.set(s.id, { of: stateOf(s), read: found.get(s.id) ?? null });
        onProgress?.({ done: Math.min(i + AT_ONCE, changed.length), total: changed.length, what: "breaks" });
      }
      this.reads = wanted.flatMap((s) => this.#known.get(s.id)?.read ?? []);
      this.figures = await this.#client.figures(this.counted, signal);
    } catch (error) {
      if (signal?.aborted !== true && !(error instanceof PictureError && error.code === "cancelled")) throw error;
      this.stopped = true;
    }
  }

  async #records(some: readonly BreakSummary[]): Promise<readonly WireBreak[]> {
    const records: WireBreak[] = [];
    for (const { id } of some) {
      const stored = await this.#app.bench.load(id);
      if (stored !== null) records.push(stored.record);
    }
    return records;
  }

  #differing(differ: (pair: PairRead) => boolean): readonly Difference[] {
    const all = (this.reads ?? []).flatMap((of) => of.pairs.filter(differ).map((pair) => ({ of, pair })));
    const place = ({ pair }: Difference) => (pair.settlement.state === "open" ? 0 : 1);
    return all.sort((a, b) => place(a) - place(b) || (a.pair.second.at < b.pair.second.at ? 1 : -1));
  }

  #shown(list: readonly Difference[]): readonly Difference[] {
    const { state, type, reader } = this.filter;
    return list.filter(({ pair: { first, second, settlement } }) => {
      if (state !== "all" && (settlement.state === "open") !== (state === "open")) return false;
      if (type !== null && first.type !== type && second.type !== type) return false;
      return reader === null || samePerson(first.by, reader) || samePerson(second.by, reader);
    });
  }
}

const stateOf = ({ revision, updatedAt }: BreakSummary): string => `${revision ?? ""} ${updatedAt}`;

/** One for each application: what was compared once is not compared again after a visit to a break. */
const known = new WeakMap<App, Readers>();

export function readersOf(app: App, makeClient: () => AgreementClient): Readers {
  const there = known.get(app);
  if (there) return there;
  // Outlives the screen that asked first, so what it derives must not die with that screen.
  let readers: Readers | null = null;
  $effect.root(() => {
    readers = new Readers(app, makeClient());
  });
  if (readers === null) throw new Error("The readers could not be compared.");
  known.set(app, readers);
  return readers;
}
