import { BenchFileError } from "../storage/bench-file-error.ts";
import type { LongTask } from "../log/long-task.svelte.ts";
import { makeMissingCopies } from "../log/missing-copies.ts";
import type { App } from "../shell/app.svelte.ts";
import { HASH_LIST_PATH, MANIFEST_PATH } from "../storage/bench-file-format.ts";
import type { LongWork } from "../storage/contract.ts";
import { benchFileSource } from "../storage/exchange-bench-file.ts";
import { judge, type Judged, photographsHere } from "../storage/exchange-judge.ts";
import { setSource } from "../storage/exchange-set.ts";
import type { BreakSource } from "../storage/exchange-source.ts";
import { takeIn, type Taken } from "../storage/exchange-take.ts";
import { createMergeClient } from "../workers/merge-client.ts";
import type { ExchangeReport } from "./exchange-log.ts";
import { namesInZip } from "./names-in-zip.ts";
import type { Unsettled } from "./unsettled.svelte.ts";
import { wasStopped } from "../reference/was-stopped.ts";

/** What a chosen file would do, before anything is written. */
export interface FileTrial {
  readonly fileName: string;
  readonly source: BreakSource;
  readonly judged: readonly Judged[];
}

/** A set or a bench file on its way in: looked at as a whole, then taken in break by break. */
export class BringFile {
  trial = $state.raw<FileTrial | null>(null);
  refused = $state.raw<{ readonly message: string; readonly next: string } | null>(null);
  done = $state.raw<{ readonly report: ExchangeReport; readonly taken: readonly Taken[] } | null>(null);
  /** Breaks recorded here by themselves that are to come in as copies; the others are left out. */
  copies = $state.raw<ReadonlySet<string>>(new Set());
  /** Whether what the lab of a bench file has set up comes in as well. */
  withSettings = $state(true);
  readonly #app: App;
  readonly #task: LongTask;
  readonly #unsettled: Unsettled;
  readonly #note: (report: ExchangeReport) => Promise<void>;

  constructor(app: App, task: LongTask, unsettled: Unsettled, note: (report: ExchangeReport) => Promise<void>) {
    this.#app = app;
    this.#task = task;
    this.#unsettled = unsettled;
    this.#note = note;
  }

  count(fate: Judged["fate"]): number {
    return this.trial?.judged.filter((one) => one.fate === fate).length ?? 0;
  }

  /** Breaks that would come or change as things are chosen now. */
  get coming(): number {
    return (
      this.trial?.judged.filter(
        (one) => one.fate === "new" || one.fate === "merge" || (one.fate === "apart" && this.copies.has(one.id)),
      ).length ?? 0
    );
  }

  /** Whether the file carries settings that are to come in. */
  get bringsSettings(): boolean {
    return this.withSettings && (this.trial?.source.settings ?? null) !== null;
  }

  choose(id: string, copy: boolean): void {
    const next = new Set(this.copies);
    if (copy) next.add(id);
    else next.delete(id);
    this.copies = next;
  }

  putAway(): void {
    this.trial = null;
    this.refused = null;
    this.done = null;
    this.copies = new Set();
  }

  /** Checks a file and says what it would do; nothing is written. */
  async look(file: File): Promise<void> {
    this.putAway();
    try {
      this.trial = await this.#task.run("Looking at the file", (work) => this.#look(file, work));
    } catch (error) {
      if (wasStopped(error)) this.#app.say("Stopped. Nothing was brought in.");
      else if (error instanceof BenchFileError)
        this.refused = { message: `${file.name}: ${error.message}`, next: error.next };
      else throw error;
    }
  }

  async #look(file: File, work: LongWork): Promise<FileTrial> {
    const names = await namesInZip(file, work.signal);
    const isBench = names.has(MANIFEST_PATH) && names.has(HASH_LIST_PATH);
    const source = isBench ? await benchFileSource(file, file.name, work) : await setSource(file, file.name, work);
    const { bench } = this.#app;
    // Within a lab, two benches may photograph one end each: those are two breaks until a person says otherwise.
    const photographs = source.coded ? await photographsHere(bench, work.signal) : new Map<string, string>();
    const merger = createMergeClient();
    try {
      const judged: Judged[] = [];
      for (const from of source.breaks) {
        judged.push(await judge(bench, merger, source, from, photographs, work.signal));
        work.onProgress?.({ done: judged.length, total: source.breaks.length, what: "breaks looked at" });
      }
      return { fileName: file.name, source, judged };
    } finally {
      merger.close();
    }
  }

  /** Takes in what was looked at. Stopped or cut off, whole breaks are in, and the same file goes on from there. */
  async bringIn(): Promise<void> {
    const { trial } = this;
    if (trial === null) return;
    const taken: Taken[] = [];
    let settingsSay: readonly string[] = [];
    try {
      await this.#task.run("Bringing breaks in", async (work) => {
        await this.#bringIn(trial, taken, work);
        if (this.bringsSettings) settingsSay = await this.#bringSettings(trial.source);
      });
    } catch (error) {
      if (!wasStopped(error)) throw error;
      this.#app.say("Stopped. Breaks already brought in are whole and stay; the same file goes on from there.");
    } finally {
      await this.#conclude(trial, taken, settingsSay);
    }
  }

  async #bringSettings({ settings }: BreakSource): Promise<readonly string[]> {
    const { bringInSettings } = await import("../lab/bring-in.ts");
    return bringInSettings(this.#app, settings);
  }

  async #bringIn({ source, judged }: FileTrial, taken: Taken[], work: LongWork): Promise<void> {
    const { bench, reader, surroundings } = this.#app;
    const merger = createMergeClient();
    const at = surroundings.now();
    const { signal } = work;
    try {
      for (const [i, one] of judged.entries()) {
        signal?.throwIfAborted();
        const apart = this.copies.has(one.id) ? "copy" : "leave-out";
        const taking = { store: bench, merger, source, by: reader, at, foreign: source.coded, signal };
        taken.push(await takeIn(taking, one, apart));
        work.onProgress?.({ done: i + 1, total: judged.length, what: "breaks" });
      }
    } finally {
      merger.close();
    }
    await makeMissingCopies(bench, work);
  }

  async #conclude(
    { source, fileName }: FileTrial,
    taken: readonly Taken[],
    settingsSay: readonly string[],
  ): Promise<void> {
    await this.#app.refreshSummaries();
    if (taken.length + settingsSay.length === 0) return;
    const { kind, name, version, licence, creator } = source.says;
    const report: ExchangeReport = {
      at: this.#app.surroundings.now(),
      by: this.#app.reader,
      kind: kind === "set" ? "set" : "bench-file",
      what: kind === "set" ? name : fileName,
      version,
      licence,
      creator,
      lines: [...linesOf(taken), ...settingsSay],
      breaks: taken
        .filter(({ fate }) => fate !== "same" && fate !== "left-out")
        .map(({ id, number, fate }) => ({ id, number, fate })),
    };
    this.done = { report, taken };
    this.trial = null;
    await this.#note(report);
    await this.#unsettled.look(taken.map(({ id }) => id));
  }
}

/** What became of breaks, in words. */
export function linesOf(taken: readonly Taken[]): readonly string[] {
  const count = (fate: Taken["fate"]) => taken.filter((one) => one.fate === fate).length;
  const breaks = (n: number) => (n === 1 ? "1 break" : `${n} breaks`);
  const originals = taken.reduce((sum, one) => sum + one.originals, 0);
  const lacking = taken.reduce((sum, one) => sum + one.lacking.length, 0);
  const said: readonly [number, string][] = [
    [count("added"), `${breaks(count("added"))} added`],
    [count("merged"), `${breaks(count("merged"))} brought together`],
    [count("copied"), `${breaks(count("copied"))} filed as copies`],
    [count("same"), `${breaks(count("same"))} with nothing new`],
    [count("left-out"), `${breaks(count("left-out"))} left out`],
    [originals, originals === 1 ? "1 photograph" : `${originals} photographs`],
    [lacking, `${lacking} photographs not in it`],
  ];
  return said.flatMap(([n, words]) => (n > 0 ? [words] : []));
}
