import { SvelteSet } from "svelte/reactivity";
import { newBreak } from "../../model/break/new-break.ts";
import type { App } from "../shell/app.svelte.ts";
import type { BreakSummary } from "../storage/contract.ts";
import { summarise } from "../storage/summary.ts";
import { setBinned } from "./bin.ts";
import { facets, filterRows, isFiltering, NEWEST_FIRST, NO_FILTER, sortRows } from "./filter.ts";
import type { LogFilter, LogSort } from "./filter.ts";
import type { Lessons } from "./lesson-words.ts";
import { LongTask } from "./long-task.svelte.ts";
import { nextNumber } from "./next-number.ts";
import { LogIndex, type LogRow, type SortColumn } from "./row.ts";

/** The log of all breaks: what is asked for, what is shown of it, which ones are selected. */
export class Log {
  filter = $state.raw<LogFilter>(NO_FILTER);
  sort = $state.raw<LogSort>(NEWEST_FIRST);
  /** Breaks selected for export, by id. */
  readonly selected = new SvelteSet<string>();
  activeId = $state<string | null>(null);
  /** Open breaks that would teach most, in that order; null = the log is ordered by a column. */
  lessons = $state.raw<Lessons | null>(null);
  /** Where the list was scrolled to, px; kept while another screen is open. */
  scrollTop = 0;
  /** The last thing put into the bin, to be taken out by one key. */
  lastBinned = $state.raw<readonly BreakSummary[]>([]);
  readonly task = new LongTask();
  readonly #app: App;
  readonly #index = new LogIndex();

  constructor(app: App) {
    this.#app = app;
  }

  readonly rows = $derived.by(() => this.#index.rows(this.#app.summaries));
  readonly #sorted = $derived(sortRows(this.rows, this.sort));
  readonly shown = $derived(inLessons(filterRows(this.#sorted, this.filter), this.lessons));
  readonly filtering = $derived(isFiltering(this.filter) || this.lessons !== null);
  readonly kept = $derived(this.rows.filter((r) => r.state !== "binned"));
  readonly metals = $derived(facets(this.kept, (r) => r.fields.metal));
  readonly machines = $derived(facets(this.kept, (r) => r.summary.machine));
  readonly states = $derived(facets(this.rows, (r) => r.state));

  /** Index of the active row among those shown; the first when it is filtered away; -1 when none is shown. */
  readonly activeIndex = $derived.by(() => {
    const at = this.shown.findIndex((r) => r.summary.id === this.activeId);
    return at >= 0 ? at : this.shown.length > 0 ? 0 : -1;
  });

  ask(patch: Partial<LogFilter>): void {
    this.filter = { ...this.filter, ...patch };
  }

  askAll(): void {
    this.filter = NO_FILTER;
    this.lessons = null;
  }

  /** Lists the open breaks by what confirming them would teach; a second time, the log as it was. */
  async listLessons(): Promise<void> {
    if (this.lessons !== null) {
      this.lessons = null;
      return;
    }
    const { lessonsOfLog } = await import("./lessons.ts");
    let cancelled = false;
    const found = await this.task.run("Finding which open breaks would teach most", async (work) => {
      try {
        return await lessonsOfLog(this.#app, work);
      } catch (error) {
        if (!work.signal.aborted) throw error;
        cancelled = true;
        return null;
      }
    });
    if (cancelled) this.#app.say("Stopped. The log stays as it was.");
    if (found === null) return;
    this.lessons = found;
    // The first lesson is the one to open.
    this.activeId = null;
  }

  sortBy(column: SortColumn): void {
    this.lessons = null;
    const same = this.sort.column === column;
    this.sort = { column, descending: same ? !this.sort.descending : column === "date" };
  }

  moveTo(index: number): void {
    const last = this.shown.length - 1;
    const row = this.shown[Math.max(0, Math.min(last, index))];
    if (row) this.activeId = row.summary.id;
  }

  open(index: number): void {
    const row = this.shown[index];
    if (row) this.#app.go({ screen: "bench", breakId: row.summary.id });
  }

  toggle(id: string): void {
    if (!this.selected.delete(id)) this.selected.add(id);
  }

  selectShown(): void {
    this.selected.clear();
    for (const row of this.shown) this.selected.add(row.summary.id);
  }

  selectNone(): void {
    this.selected.clear();
  }

  /** Puts the selected breaks into the bin, or the active one when none is selected. */
  async bin(): Promise<void> {
    const active = this.shown[this.activeIndex];
    const chosen =
      this.selected.size > 0 ? this.shown.filter((r) => this.selected.has(r.summary.id)) : active ? [active] : [];
    const wanted = chosen.map((r) => r.summary).filter((s) => !s.binned);
    if (wanted.length === 0) return;
    const next = this.shown[this.activeIndex + 1] ?? this.shown[this.activeIndex - 1];
    const done = await this.#binAll(wanted, true);
    if (active && wanted.some((s) => s.id === active.summary.id) && next) this.activeId = next.summary.id;
    this.selectNone();
    this.lastBinned = done;
  }

  async takeOut(summaries: readonly BreakSummary[]): Promise<void> {
    const done = await this.#binAll(summaries, false);
    this.lastBinned = this.lastBinned.filter((s) => !done.some((d) => d.id === s.id));
    if (done[0]) this.activeId = done[0].id;
    this.#app.say(`${numbersOf(done)} taken out of the bin.`);
  }

  async #binAll(summaries: readonly BreakSummary[], binned: boolean): Promise<readonly BreakSummary[]> {
    const app = this.#app;
    const done: BreakSummary[] = [];
    try {
      for (const summary of summaries) {
        const stored = await setBinned(summary, binned, {
          store: app.bench,
          at: app.surroundings.now(),
          by: app.reader,
        });
        if (stored) done.push(stored);
      }
    } finally {
      app.noteSummaries(done);
    }
    return done;
  }

  /** An empty break with the next free number, stored and opened. */
  async addBreak(): Promise<void> {
    const { surroundings, bench, summaries } = this.#app;
    const own = summaries.filter((s) => !s.demo);
    const latest = own.reduce<BreakSummary | null>((a, b) => (a === null || b.createdAt >= a.createdAt ? b : a), null);
    const number = nextNumber(
      latest?.number ?? null,
      summaries.map((s) => s.number),
    );
    const record = newBreak(surroundings.newId(), number, surroundings.now());
    const summary = summarise(record, "undetermined");
    await bench.commit({ entries: [], records: [{ record, summary }] });
    this.#app.noteSummaries([summary]);
    this.activeId = record.id;
    this.#app.go({ screen: "bench", breakId: record.id });
  }
}

/** Only breaks with a lesson, the largest first. */
function inLessons(rows: readonly LogRow[], lessons: Lessons | null): readonly LogRow[] {
  if (lessons === null) return rows;
  const placed = rows.filter((r) => lessons.has(r.summary.id) && r.summary.confirmed === null);
  return placed.sort((a, b) => lessons.get(a.summary.id)!.place - lessons.get(b.summary.id)!.place);
}

export const numbersOf = (summaries: readonly BreakSummary[]): string =>
  summaries.length === 1 && summaries[0] ? summaries[0].number : `${summaries.length} breaks`;

/** One log for each application, so that search, place and selection outlive a visit to another screen. */
const logs = new WeakMap<App, Log>();

export function logOf(app: App): Log {
  const known = logs.get(app);
  if (known) return known;
  // Outlives the screen that asked first, so what it derives must not die with that screen.
  let log: Log | null = null;
  $effect.root(() => {
    log = new Log(app);
  });
  if (log === null) throw new Error("The log could not be made.");
  logs.set(app, log);
  return log;
}
