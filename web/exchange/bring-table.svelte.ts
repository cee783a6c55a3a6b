import { applyEdit, type Edit } from "../../model/break/edits.ts";
import { newBreak } from "../../model/break/new-break.ts";
import type { CameWith, WireBreak } from "../../model/break/wire-break.ts";
import { suggest } from "../../model/evidence/suggest.ts";
import { observe } from "../../model/measure/observe.ts";
import { readCsv } from "../../model/reference/export/csv.ts";
import { type FactsToAdd, factsToAdd, knownFacts } from "../../model/reference/import/add-facts.ts";
import { type ColumnMapping, guessSeparator, type OldRecordField } from "../../model/reference/import/columns.ts";
import { breaksFromOldRecords, type OldRecord, type OldRecords } from "../../model/reference/import/csv.ts";
import { fitted, type NamedMapping, proposedMapping } from "../../model/reference/import/named-mapping.ts";
import type { LongTask } from "../log/long-task.svelte.ts";
import { wasStopped } from "../reference/was-stopped.ts";
import type { App } from "../shell/app.svelte.ts";
import { sha256Hex } from "../storage/canonical.ts";
import type { BreakSummary, LongWork, NewLogEntry } from "../storage/contract.ts";
import { summarise } from "../storage/summary.ts";
import { createImportClient } from "../workers/import-client.ts";
import type { ExchangeReport } from "./exchange-log.ts";

type Separator = "," | ";" | "\t";
interface Table {
  readonly fileName: string;
  readonly sha256: string;
  readonly text: string;
  readonly head: readonly string[];
  readonly lines: number;
}
/** A line whose number is on this bench, and what it would add there. */
export interface KnownLine extends FactsToAdd {
  readonly old: OldRecord;
  readonly id: string;
}

const MAPPINGS = "exchange-mappings";
const MAX_BYTES = 32 * 1024 * 1024;
/** Breaks of one write. */
const BATCH = 100;

/** A spreadsheet of old records on its way in. */
export class BringTable {
  table = $state.raw<Table | null>(null);
  separator = $state<Separator>(";");
  mapping = $state.raw<ColumnMapping>([]);
  kept = $state.raw<readonly NamedMapping[]>([]);
  /** Name of the kept mapping in use; null = guessed or set by hand. */
  mappingName = $state<string | null>(null);
  /** Lines whose number is here add facts there; false = they are faults. */
  addToKnown = $state(false);
  read = $state.raw<OldRecords | null>(null);
  known = $state.raw<readonly KnownLine[]>([]);
  /** Why the text is no table, or the mapping none. */
  problem = $state<string | null>(null);
  done = $state.raw<ExchangeReport | null>(null);
  readonly #app: App;
  readonly #task: LongTask;
  readonly #note: (report: ExchangeReport) => Promise<void>;
  #turn = 0;

  constructor(app: App, task: LongTask, note: (report: ExchangeReport) => Promise<void>) {
    this.#app = app;
    this.#task = task;
    this.#note = note;
  }

  /** Lines that would become breaks. */
  readonly fresh = $derived.by(() => {
    const here = new Set(this.known.map(({ old }) => old.line));
    return (this.read?.records ?? []).filter(({ line }) => !here.has(line));
  });
  readonly adding = $derived(this.known.filter(({ patch }) => Object.keys(patch).length > 0));
  readonly coming = $derived(this.fresh.length + this.adding.length);

  putAway(): void {
    this.#turn++;
    this.table = null;
    this.read = null;
    this.known = [];
    this.problem = null;
    this.done = null;
    this.mappingName = null;
  }

  async open(): Promise<void> {
    this.kept = (await this.#app.bench.getSetting<readonly NamedMapping[]>(MAPPINGS)) ?? [];
  }

  /** Reads a file; nothing is written. @throws DOMException when the browser cannot read it. */
  async look(file: File): Promise<void> {
    this.putAway();
    if (file.size > MAX_BYTES) {
      this.problem = "The file is larger than 32 MB. Split it.";
      return;
    }
    const bytes = await file.arrayBuffer();
    const text = textOf(bytes);
    if (text === null) {
      this.problem = `${file.name} is no text. Save the spreadsheet as CSV first.`;
      return;
    }
    this.separator = guessSeparator(text);
    const sha256 = await sha256Hex(bytes);
    await this.#lay({ fileName: file.name, sha256, text });
  }

  async separate(separator: Separator): Promise<void> {
    this.separator = separator;
    if (this.table !== null) await this.#lay(this.table);
  }

  async #lay({ fileName, sha256, text }: Pick<Table, "fileName" | "sha256" | "text">): Promise<void> {
    let head: readonly string[];
    let lines: number;
    try {
      const csv = readCsv(text, this.separator);
      head = csv.head;
      lines = csv.lines.length;
    } catch (error) {
      if (!(error instanceof RangeError)) throw error;
      this.problem = error.message;
      return;
    }
    this.table = { fileName, sha256, text, head, lines };
    const { mapping, from } = proposedMapping(head, this.kept);
    this.mapping = mapping;
    this.mappingName = from?.name ?? null;
    await this.check();
  }

  async setColumn(index: number, field: OldRecordField | null): Promise<void> {
    this.mapping = this.mapping.map((one, i) => (i === index ? field : one));
    this.mappingName = null;
    await this.check();
  }

  async useMapping(name: string): Promise<void> {
    const found = this.kept.find((one) => one.name === name);
    if (found === undefined || this.table === null) return;
    if (found.separator !== this.separator) {
      this.separator = found.separator;
      this.table = { ...this.table, head: readCsv(this.table.text, found.separator).head };
    }
    this.mapping = fitted(found, this.table.head);
    this.mappingName = name;
    await this.check();
  }

  /** Keeps the mapping for the next file; one of the same name gives way. @throws StoreError. */
  async keepMapping(name: string): Promise<void> {
    const { table, mapping, separator } = this;
    const plain = name.trim();
    if (table === null || plain === "") return;
    const columns = table.head.map((heading, i) => [heading, mapping[i] ?? null] as const);
    const kept = [{ name: plain, separator, columns }, ...this.kept.filter((one) => one.name !== plain)].slice(0, 40);
    await this.#app.bench.setSetting(MAPPINGS, kept);
    this.kept = kept;
    this.mappingName = plain;
  }

  async setAddToKnown(add: boolean): Promise<void> {
    this.addToKnown = add;
    await this.check();
  }

  /** What the file would give as things are chosen now. */
  async check(): Promise<void> {
    const { table, mapping, separator, addToKnown } = this;
    if (table === null) return;
    const turn = ++this.#turn;
    const numbers = new Map(this.#app.summaries.filter(({ binned }) => !binned).map(({ number, id }) => [number, id]));
    const there = addToKnown ? new Set<string>() : new Set(numbers.keys());
    const client = createImportClient();
    try {
      const answer = await client.request("table", { text: table.text, mapping, separator, there });
      const known = answer.ok && addToKnown ? await this.#known(answer.value, numbers, table.fileName) : [];
      if (turn !== this.#turn) return;
      this.problem = answer.ok ? null : answer.says;
      this.read = answer.ok ? answer.value : null;
      this.known = known;
    } finally {
      client.close();
    }
  }

  async #known(read: OldRecords, numbers: ReadonlyMap<string, string>, fileName: string): Promise<KnownLine[]> {
    const found: KnownLine[] = [];
    for (const old of read.records) {
      const id = numbers.get(old.number);
      const stored = id === undefined ? null : await this.#app.bench.load(id);
      if (id !== undefined && stored !== null) found.push({ old, id, ...factsToAdd(stored.record, old, fileName) });
    }
    return found;
  }

  /** Takes the good lines in, a hundred a write. */
  async bringIn(): Promise<void> {
    const { table, fresh, adding } = this;
    if (table === null || this.coming === 0) return;
    const came: { id: string; number: string; fate: string }[] = [];
    try {
      await this.#task.run("Bringing old records in", (work) => this.#bringIn(table, fresh, adding, came, work));
    } catch (error) {
      if (!wasStopped(error)) throw error;
      this.#app.say("Stopped. What was brought in is whole and stays; the same file goes on from there.");
    } finally {
      if (came.length > 0) await this.#conclude(table, came);
    }
  }

  async #bringIn(
    table: Table,
    fresh: readonly OldRecord[],
    adding: readonly KnownLine[],
    came: { id: string; number: string; fate: string }[],
    work: LongWork,
  ): Promise<void> {
    const { bench, surroundings, reader: by } = this.#app;
    const at = surroundings.now();
    const source: CameWith = {
      kind: "table",
      name: table.fileName,
      version: null,
      licence: null,
      creator: null,
      sha256: table.sha256,
      by,
      at,
    };
    const made = breaksFromOldRecords(fresh, surroundings.newId, at, table.fileName);
    const jobs: { readonly fate: string; readonly make: () => Promise<Changed | null> }[] = [
      ...made.map((record) => ({
        fate: "added",
        make: () =>
          Promise.resolve(
            changed(newBreak(record.id, record.number, at), knownFacts(record.context), source, "import", by, at),
          ),
      })),
      ...adding.map(({ id, old }) => ({
        fate: "facts added",
        make: async () => {
          const stored = await bench.load(id);
          if (stored === null) return null;
          const { patch } = factsToAdd(stored.record, old, table.fileName);
          return Object.keys(patch).length === 0 ? null : changed(stored.record, patch, source, "reader", by, at);
        },
      })),
    ];
    for (let i = 0; i < jobs.length; i += BATCH) {
      work.signal?.throwIfAborted();
      const batch: (Changed & { readonly fate: string })[] = [];
      for (const { make, fate } of jobs.slice(i, i + BATCH)) {
        const one = await make();
        if (one !== null) batch.push({ ...one, fate });
        await breathe();
      }
      await bench.commit({ entries: batch.map(({ entry }) => entry), records: batch });
      this.#app.noteSummaries(batch.map(({ summary }) => summary));
      came.push(...batch.map(({ record, fate }) => ({ id: record.id, number: record.number, fate })));
      work.onProgress?.({ done: Math.min(jobs.length, i + BATCH), total: jobs.length, what: "lines" });
    }
  }

  async #conclude(table: Table, came: readonly { id: string; number: string; fate: string }[]): Promise<void> {
    const count = (fate: string) => came.filter((one) => one.fate === fate).length;
    const [added, facts] = [count("added"), count("facts added")];
    const faulty = new Set(this.read?.faults.map(({ line }) => line)).size;
    const report: ExchangeReport = {
      at: this.#app.surroundings.now(),
      by: this.#app.reader,
      kind: "table",
      what: table.fileName,
      version: null,
      licence: null,
      creator: null,
      lines: [
        ...(added > 0 ? [added === 1 ? "1 break added" : `${added} breaks added`] : []),
        ...(facts > 0 ? [`facts added to ${facts === 1 ? "1 break" : `${facts} breaks`}`] : []),
        ...(faulty > 0 ? [`${faulty === 1 ? "1 line" : `${faulty} lines`} with faults left out`] : []),
      ],
      breaks: came,
    };
    this.putAway();
    this.done = report;
    await this.#note(report);
  }
}

interface Changed {
  readonly record: WireBreak;
  readonly summary: BreakSummary;
  readonly entry: NewLogEntry;
}

function changed(
  before: WireBreak,
  patch: Partial<WireBreak["context"]>,
  source: CameWith,
  origin: "import" | "reader",
  by: string,
  at: string,
): Changed {
  const list = [...(before.cameWith ?? []), source];
  const edits: readonly Edit[] = [
    { kind: "set-context", patch },
    { kind: "set-came-with", list },
  ];
  const edit: Edit = { kind: "together", edits };
  const { next, inverse } = applyEdit(before, edit, at);
  const { id: breakId, revision } = next;
  return {
    record: next,
    summary: summarise(next, suggest(observe(next)).verdict),
    entry: { breakId, revision, edit, inverse, origin, of: null, by, at },
  };
}

const SLICE_MS = 25;
let since = 0;
/** Lets the page go on when this has gone on for long enough. */
async function breathe(): Promise<void> {
  if (performance.now() - since < SLICE_MS) return;
  await new Promise((resolve) => setTimeout(resolve));
  since = performance.now();
}

/** UTF-8, else what spreadsheets in Western Europe write (Windows-1252); null when it is no text at all. */
export function textOf(bytes: ArrayBuffer): string | null {
  const start = new Uint8Array(bytes, 0, Math.min(4096, bytes.byteLength));
  if (start.includes(0)) return null;
  try {
    return new TextDecoder("utf-8", { fatal: true }).decode(bytes);
  } catch {
    return new TextDecoder("windows-1252").decode(bytes); // No UTF-8, and this decoder takes any byte.
  }
}
