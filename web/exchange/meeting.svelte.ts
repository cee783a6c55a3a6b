import type { LongTask } from "../log/long-task.svelte.ts";
import { makeMissingCopies } from "../log/missing-copies.ts";
import { wasStopped } from "../reference/was-stopped.ts";
import type { App } from "../shell/app.svelte.ts";
import { FolderError } from "../storage/folder-files.ts";
import { linesOf } from "./bring-file.svelte.ts";
import { exchangeBenches, type Exchanged } from "./exchange-benches.ts";
import type { ExchangeReport } from "./exchange-log.ts";
import {
  chooseFolder,
  keepFolder,
  keepOwnBench,
  keptFolder,
  mayUse,
  type OwnBench,
  ownBench,
} from "./meeting-point.ts";
import type { Unsettled } from "./unsettled.svelte.ts";

/** Two breaks of this bench with one number: two benches counted on from the same. */
export interface SharedNumber {
  readonly number: string;
  readonly ids: readonly string[];
}

/** The meeting point of the benches of a lab. */
export class Meeting {
  folder = $state.raw<FileSystemDirectoryHandle | null>(null);
  own = $state.raw<OwnBench | null>(null);
  loaded = $state(false);
  problem = $state.raw<FolderError | null>(null);
  done = $state.raw<Exchanged | null>(null);
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

  get sharedNumbers(): readonly SharedNumber[] {
    const ids = new Map<string, string[]>();
    for (const { number, id, binned } of this.#app.summaries)
      if (!binned) ids.set(number, [...(ids.get(number) ?? []), id]);
    return [...ids].filter(([, list]) => list.length > 1).map(([number, list]) => ({ number, ids: list }));
  }

  async open(): Promise<void> {
    const { bench } = this.#app;
    [this.folder, this.own] = await Promise.all([keptFolder(bench), ownBench(bench)]);
    this.loaded = true;
  }

  /** @throws StoreError. */
  async rename(name: string): Promise<void> {
    const own = { id: this.own?.id ?? this.#app.surroundings.newId(), name: name.trim() };
    if (own.name === "" || own.name === this.own?.name) return;
    await keepOwnBench(this.#app.bench, own);
    this.own = own;
  }

  async choose(): Promise<void> {
    const folder = await chooseFolder();
    if (folder !== null) await this.use(folder);
  }

  /** @throws StoreError. */
  async use(folder: FileSystemDirectoryHandle | null): Promise<void> {
    this.problem = null;
    this.done = null;
    await keepFolder(this.#app.bench, folder);
    this.folder = folder;
  }

  /** Both ways with everybody who has been at the meeting point. Called while a press is being answered. */
  async exchange(): Promise<void> {
    const { folder, own } = this;
    if (folder === null || own === null || this.#task.running) return;
    this.problem = null;
    this.done = null;
    let so: Exchanged = { taken: [], notTaken: [], met: [], unread: [], laid: null };
    const { bench, reader, surroundings } = this.#app;
    const exchanging = { store: bench, own, by: reader, at: surroundings.now() };
    try {
      if (!(await mayUse(folder))) throw notAllowed();
      await this.#task.run("Exchanging with the other benches", async (work) => {
        so.laid = await exchangeBenches(folder, exchanging, (now) => (so = { ...so, ...now }), work);
        await makeMissingCopies(bench, work);
      });
    } catch (error) {
      if (error instanceof FolderError) this.problem = error;
      else if (wasStopped(error))
        this.#app.say("Stopped. What was exchanged is whole; the next exchange goes on from there.");
      else throw error;
    } finally {
      await this.#conclude(so);
    }
  }

  async #conclude(so: Exchanged): Promise<void> {
    this.done = so.laid === null && so.met.length === 0 ? null : so;
    await this.#app.refreshSummaries();
    const came = so.taken.filter(({ fate }) => fate !== "same");
    await this.#unsettled.look(so.taken.map(({ id }) => id));
    if (came.length + (so.laid?.breaks ?? 0) === 0) return;
    await this.#note({
      at: this.#app.surroundings.now(),
      by: this.#app.reader,
      kind: "benches",
      what: this.folder?.name ?? "",
      version: null,
      licence: null,
      creator: null,
      lines: [
        ...linesOf(came),
        ...(so.laid === null ? [] : [`${so.laid.breaks} of our own laid down, ${so.laid.originals} photographs`]),
      ],
      breaks: came.map(({ id, number, fate, bench }) => ({ id, number, fate: `${fate}, ${bench}` })),
    });
  }
}

const notAllowed = (): FolderError =>
  new FolderError(
    "not-allowed",
    "The browser may not use the folder of the meeting point.",
    "Press “Exchange” again and allow it, or choose the folder anew.",
  );
