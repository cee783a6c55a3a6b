import type { WireBreak } from "../../model/break/wire-break.ts";
import { keeperOf } from "../numbers/keeper-of-app.ts";
import type { ViewFault } from "../numbers/number-keeper.ts";
import type { App } from "../shell/app.svelte.ts";
import { hashOf, type Place } from "../shell/route.ts";
import type { Progress } from "../storage/contract.ts";
import { type Earlier, earlierList, type NoList } from "./earlier-list.ts";
import { type CompareView, photographOf } from "./same-scale.ts";
import { ShownPhotographs } from "./shown-photographs.ts";

/** The open break beside confirmed ones: what is listed, which one is looked at, and how. */
export class Compare {
  readonly app: App;
  readonly record: WireBreak;
  readonly photographs: ShownPhotographs;
  /** Null while it is being made. */
  list = $state.raw<readonly Earlier[] | null>(null);
  noList = $state<NoList | null>(null);
  progress = $state.raw<Progress | null>(null);
  stopped = $state(false);
  /** Photographs that could not be read; their breaks count without them. */
  faults = $state.raw<readonly ViewFault[]>([]);
  chosenId = $state<string | null>(null);
  /** Record of the chosen one; null until it is read. */
  other = $state.raw<WireBreak | null>(null);
  view = $state<CompareView>("end_on");
  marksShown = $state(true);
  /** 1 = everything at the same scale as large as fits. */
  zoom = $state(1);
  #stop = new AbortController();
  /** The confirmed breaks that the list was made of. */
  #madeOf = "";

  constructor(app: App, record: WireBreak) {
    this.app = app;
    this.record = record;
    this.photographs = new ShownPhotographs(app.bench);
    const faces = [record.ends.machine, record.ends.takeUp].some((end) => photographOf(end, "end_on") !== null);
    if (!faces) this.view = "side";
  }

  readonly chosen = $derived.by(() => this.list?.find(({ id }) => id === this.chosenId) ?? null);

  /** Reads all confirmed breaks in numbers and lists the most similar. @param first – identifier of the one asked for. */
  async find(first: string | null): Promise<void> {
    this.#stop = new AbortController();
    const { signal } = this.#stop;
    this.stopped = false;
    this.#madeOf = this.#confirmedNow();
    if (!this.#anyToCompare()) {
      // Told at once: reading photographs for it would be in vain.
      [this.noList, this.list] = ["none-confirmed", []];
      return;
    }
    try {
      const keeper = keeperOf(this.app);
      const onFault = (fault: ViewFault) => (this.faults = [...this.faults, fault]);
      const vector = await keeper.numbersOf(this.record, { signal, onFault });
      const onProgress = (progress: Progress) => (this.progress = progress);
      const confirmed = await keeper.allConfirmed({ signal, onProgress, onFault });
      const found = earlierList({ id: this.record.id, demo: this.record.demo, vector }, confirmed);
      this.noList = typeof found === "string" ? found : null;
      this.list = typeof found === "string" ? [] : found;
      const start = this.list.find(({ id }) => id === first) ?? this.list[0];
      if (start) await this.choose(start.id);
    } catch (error) {
      if (!signal.aborted) throw error;
      this.stopped = true;
    } finally {
      this.progress = null;
    }
  }

  /** Makes the list anew when a break was confirmed, or re-opened, since it was made: in another tab, or a moment ago. */
  keepUp(): void {
    const now = this.#confirmedNow();
    if (this.list !== null && now !== this.#madeOf) this.findAgain();
  }

  #anyToCompare(): boolean {
    const { id, demo } = this.record;
    return this.app.summaries.some((s) => s.confirmed !== null && !s.binned && s.id !== id && s.demo === demo);
  }

  #confirmedNow(): string {
    return this.app.summaries
      .flatMap((s) => (s.confirmed === null || s.binned ? [] : [`${s.id} ${s.confirmed}`]))
      .join("\n");
  }

  cancel(): void {
    this.#stop.abort();
  }

  async choose(id: string): Promise<void> {
    this.chosenId = id;
    // The address follows, so that a reload or a link opens the same pair; going back still leaves the screen.
    const place: Place = { screen: "compare", breakId: this.record.id, otherId: id };
    history.replaceState(history.state, "", hashOf(place));
    const stored = await this.app.bench.load(id);
    if (this.chosenId === id) this.other = stored?.record ?? null;
  }

  /** @returns false when there is nothing to step to. */
  step(by: 1 | -1): boolean {
    const list = this.list ?? [];
    const at = list.findIndex(({ id }) => id === this.chosenId);
    const next = list[Math.max(0, Math.min(list.length - 1, at + by))];
    if (next === undefined) return false;
    if (next.id !== this.chosenId) this.choose(next.id).catch((error: unknown) => this.app.report(error));
    return true;
  }

  zoomBy(factor: number): void {
    this.zoom = Math.min(8, Math.max(1, this.zoom * factor));
  }

  show(view: CompareView): void {
    this.view = view;
    this.zoom = 1;
  }

  toggleView(): void {
    this.show(this.view === "end_on" ? "side" : "end_on");
  }

  findAgain(): void {
    this.find(this.chosenId).catch((error: unknown) => this.app.report(error));
  }

  back(): void {
    this.app.go({ screen: "bench", breakId: this.record.id });
  }

  openOther(): boolean {
    if (this.chosenId === null) return false;
    this.app.go({ screen: "bench", breakId: this.chosenId });
    return true;
  }

  close(): void {
    this.#stop.abort();
    this.photographs.close();
  }
}
