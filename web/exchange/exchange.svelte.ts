import { LongTask } from "../log/long-task.svelte.ts";
import type { App } from "../shell/app.svelte.ts";
import { BringFile } from "./bring-file.svelte.ts";
import { BringPictures } from "./bring-pictures.svelte.ts";
import { BringTable } from "./bring-table.svelte.ts";
import { type ExchangeReport, exchangeReports, noteExchange } from "./exchange-log.ts";
import { Meeting } from "./meeting.svelte.ts";
import { Unsettled } from "./unsettled.svelte.ts";

export const PARTS = [
  { id: "benches", name: "Other benches", key: "1" },
  { id: "file", name: "Sets and bench files", key: "2" },
  { id: "coco", name: "Marks of pictures", key: "3" },
  { id: "table", name: "Old records", key: "4" },
  { id: "log", name: "What came in", key: "5" },
] as const;
export type PartId = (typeof PARTS)[number]["id"];

/** What is going on between this bench and others. Outlives the screen, so that a look at the log stops nothing. */
export class Exchange {
  part = $state<PartId>("benches");
  reports = $state.raw<readonly ExchangeReport[]>([]);
  readonly task = new LongTask();
  readonly unsettled: Unsettled;
  readonly file: BringFile;
  readonly meeting: Meeting;
  readonly pictures: BringPictures;
  readonly table: BringTable;
  readonly #app: App;

  constructor(app: App) {
    this.#app = app;
    this.unsettled = new Unsettled(app);
    const note = (report: ExchangeReport) => this.#note(report);
    this.file = new BringFile(app, this.task, this.unsettled, note);
    this.meeting = new Meeting(app, this.task, this.unsettled, note);
    this.pictures = new BringPictures(app, this.task, note);
    this.table = new BringTable(app, this.task, note);
  }

  get writing(): boolean {
    return this.#app.mode === "writer";
  }

  async #note(report: ExchangeReport): Promise<void> {
    await noteExchange(this.#app.bench, report);
    this.reports = await exchangeReports(this.#app.bench);
  }

  /** Reads again what the store keeps of all this. @throws StoreError. */
  async open(): Promise<void> {
    this.reports = await exchangeReports(this.#app.bench);
    if (!this.meeting.loaded) await this.meeting.open();
    await this.unsettled.look();
  }
}

const known = new WeakMap<App, Exchange>();
export function exchangeOf(app: App): Exchange {
  const found = known.get(app) ?? new Exchange(app);
  known.set(app, found);
  return found;
}
