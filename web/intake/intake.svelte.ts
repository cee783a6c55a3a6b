import { applyEdit, type Edit } from "../../model/break/edits.ts";
import { proposeFiling } from "../../model/break/filing.ts";
import { newBreak } from "../../model/break/new-break.ts";
import type { EndSide, Photograph, WireBreak } from "../../model/break/wire-break.ts";
import { suggest } from "../../model/evidence/suggest.ts";
import { VIEW_IDS, type ViewId } from "../../model/evidence/features.ts";
import { findSeries } from "../../model/picture/stack/find-series.ts";
import { observe } from "../../model/measure/observe.ts";
import { nextNumber } from "../log/next-number.ts";
import type { App } from "../shell/app.svelte.ts";
import { lightOf } from "../shell/person.ts";
import type { NewLogEntry, NewOriginal } from "../storage/contract.ts";
import { summarise } from "../storage/summary.ts";
import { createPictureClient } from "../workers/client.ts";
import { pageOf } from "../workers/page-of.ts";
import type { IncomingFile } from "./dropped-files.ts";
import { createIntake, toned, type IncomingPhotograph, type IntakeResult } from "./intake-service.ts";
import { placed, without, type Plan } from "./intake-plan.ts";

export interface Shot {
  readonly id: string;
  readonly name: string;
  readonly photograph: IncomingPhotograph;
  /** null when the store has the original already. */
  readonly original: NewOriginal | null;
  readonly pages: number;
}
export interface Refused {
  readonly name: string;
  readonly reason: string;
  readonly next: string;
}

/** Photographs on their way in: read in the worker, proposed to breaks and ends, put right by the person, filed. */
export class Intake {
  shots = $state.raw<ReadonlyMap<string, Shot>>(new Map());
  plans = $state.raw<readonly Plan[]>([]);
  refused = $state.raw<readonly Refused[]>([]);
  again = $state.raw<
    readonly {
      readonly name: string;
      readonly photograph: IncomingPhotograph;
      readonly pages: number;
      readonly stored: boolean;
    }[]
  >([]);
  progress = $state.raw<{ readonly done: number; readonly total: number } | null>(null);
  filing = $state(false);
  /** The shot whose page is being turned. */
  turning = $state<string | null>(null);
  selected = $state<string | null>(null);
  readonly #app: App;
  #stop: AbortController | null = null;

  constructor(app: App) {
    this.#app = app;
  }

  get busy(): boolean {
    return this.progress !== null;
  }

  cancel(): void {
    this.#stop?.abort();
  }

  async take(files: readonly IncomingFile[]): Promise<void> {
    if (files.length === 0) return;
    const stop = new AbortController();
    this.#stop = stop;
    this.progress = { done: 0, total: files.length };
    const pictures = createPictureClient();
    const intake = createIntake({ store: this.#app.bench, pictures });
    const waiting = new Set([...this.shots.values()].map((s) => s.photograph.hash));
    try {
      for await (const result of intake.take(files, { signal: stop.signal })) {
        this.#note(result, waiting);
        this.progress = { done: (this.progress?.done ?? 0) + 1, total: files.length };
      }
      this.#propose();
    } finally {
      pictures.close();
      this.progress = null;
      this.#stop = null;
    }
  }

  #note(result: IntakeResult, waiting: Set<string>): void {
    const name = result.relativePath || result.file.name;
    if (result.status === "refused") {
      this.refused = [...this.refused, { name, reason: result.error.message, next: result.error.next }];
      return;
    }
    const { photograph, pages } = result;
    if (result.status === "again" || waiting.has(photograph.hash)) {
      const stored = result.status === "again" && result.where === "stored";
      this.again = [...this.again, { name, photograph, pages, stored }];
      return;
    }
    waiting.add(photograph.hash);
    this.#add({ name, photograph, pages, original: result.original });
  }

  #add(shot: Omit<Shot, "id">): void {
    const id = this.#app.surroundings.newId();
    this.shots = new Map(this.shots).set(id, { ...shot, id });
  }

  /** Files photographs that are on this bench already under another break as well; the original stays stored once. */
  fileAgain(): void {
    for (const { name, photograph, pages, stored } of this.again)
      if (stored) this.#add({ name, photograph, pages, original: null });
    this.again = [];
    this.#propose();
  }

  /** Proposes places for every shot not yet touched by hand; what a person set stays. */
  #propose(): void {
    const byHand = new Set(
      this.plans.flatMap((p) => p.filed.filter((f) => f.why === "set by hand").map((f) => f.shotId)),
    );
    const free = [...this.shots.values()].filter((s) => !byHand.has(s.id));
    const kept = this.plans
      .map((p) => ({ ...p, filed: p.filed.filter((f) => byHand.has(f.shotId)) }))
      .filter((p) => p.filed.length > 0);
    const proposals = proposeFiling(
      free.map((s) => ({
        id: s.id,
        fileName: s.photograph.fileName,
        relativePath: s.name,
        capturedAt: s.photograph.capturedAt,
        widthPx: s.photograph.widthPx,
        heightPx: s.photograph.heightPx,
      })),
    );
    const taken = [...this.#app.summaries.map((s) => s.number), ...kept.map((p) => p.number)];
    let number = nextNumber(this.#app.summaries[0]?.number ?? null, taken);
    const fresh = proposals.map((proposal): Plan => {
      const named = proposal.number;
      const known =
        named === null
          ? undefined
          : this.#app.summaries.find((s) => s.number.toLowerCase() === named.toLowerCase() && !s.binned);
      const given = named ?? number;
      if (named === null) number = nextNumber(number, [...taken, number]);
      return {
        key: this.#app.surroundings.newId(),
        number: known?.number ?? given,
        into: known?.id ?? null,
        filed: proposal.filed.map((f) => ({ shotId: f.shotId, side: f.side, view: f.view, why: f.why })),
      };
    });
    this.plans = [...kept, ...fresh];
    this.selected = this.plans[0]?.filed[0]?.shotId ?? null;
  }

  placeOf(shotId: string): { plan: Plan; at: number; side: EndSide; view: ViewId } | null {
    for (const plan of this.plans) {
      const at = plan.filed.findIndex((f) => f.shotId === shotId);
      const filed = plan.filed[at];
      if (filed) return { plan, at, side: filed.side, view: filed.view };
    }
    return null;
  }

  place(shotId: string, planKey: string, change: { side?: EndSide; view?: ViewId }): void {
    this.plans = placed(this.plans, shotId, planKey, change);
  }

  /** Shots that look like a focus series and do not all lie at one place yet. */
  get series(): readonly (readonly Shot[])[] {
    const shots = [...this.shots.values()].map((s) => ({ ...s.photograph, shot: s }));
    return findSeries(shots)
      .map((group) => group.map((g) => g.shot))
      .filter((group) => {
        const places = group.map((s) => this.placeOf(s.id));
        const first = places[0];
        return places.some((p) => p?.plan !== first?.plan || p?.side !== first?.side || p?.view !== first?.view);
      });
  }

  /** Files a series where its first frame lies: same break, same end, same view. */
  asOneSeries(group: readonly Shot[]): void {
    const [first] = group;
    const home = first === undefined ? null : this.placeOf(first.id);
    if (home === null) return;
    for (const { id } of group) this.place(id, home.plan.key, { side: home.side, view: home.view });
  }

  setSide(shotId: string, side: EndSide): void {
    const place = this.placeOf(shotId);
    if (place) this.place(shotId, place.plan.key, { side });
  }

  stepView(shotId: string, by: 1 | -1): void {
    const place = this.placeOf(shotId);
    if (!place) return;
    const at = VIEW_IDS.indexOf(place.view);
    const view = VIEW_IDS[(at + by + VIEW_IDS.length) % VIEW_IDS.length];
    if (view) this.place(shotId, place.plan.key, { view });
  }

  /** Moves a shot to the break before or after; after the last one a new break is begun. */
  stepPlan(shotId: string, by: 1 | -1): void {
    const place = this.placeOf(shotId);
    if (!place) return;
    const at = this.plans.indexOf(place.plan) + by;
    const there = this.plans[at];
    if (there) this.place(shotId, there.key, {});
    else if (at >= this.plans.length) this.newPlan(shotId);
  }

  newPlan(shotId: string): void {
    const key = this.#app.surroundings.newId();
    const taken = [...this.#app.summaries.map((s) => s.number), ...this.plans.map((p) => p.number)];
    this.plans = [...this.plans, { key, number: nextNumber(taken.at(-1) ?? null, taken), into: null, filed: [] }];
    this.place(shotId, key, {});
  }

  /** Shows another page of a file with several: its own size, black and white. */
  async setPage(shotId: string, page: number): Promise<void> {
    const shot = this.shots.get(shotId);
    if (!shot || page < 0 || page >= shot.pages) return;
    const { hash } = shot.photograph;
    const blob = shot.original?.original ?? (await this.#app.bench.original(hash));
    if (blob === null) return;
    const pictures = createPictureClient();
    this.turning = shotId;
    try {
      const fields = await pageOf(pictures, blob, page);
      const { thumbnail, deepTone } = await pictures.copies(blob, undefined, { page });
      const photograph = toned({ ...shot.photograph, ...fields }, deepTone);
      const original = shot.original && { ...shot.original, thumbnail };
      if (this.shots.has(shotId)) this.shots = new Map(this.shots).set(shotId, { ...shot, photograph, original });
    } finally {
      pictures.close();
      this.turning = null;
    }
  }

  leaveOut(shotId: string): void {
    this.plans = without(this.plans, shotId);
    const rest = new Map(this.shots);
    rest.delete(shotId);
    this.shots = rest;
    this.selected = this.plans[0]?.filed[0]?.shotId ?? null;
  }

  setNumber(planKey: string, number: string): void {
    const known = this.#app.summaries.find((s) => s.number.toLowerCase() === number.trim().toLowerCase() && !s.binned);
    this.plans = this.plans.map((p) =>
      p.key === planKey ? { ...p, number: known?.number ?? number.trim(), into: known?.id ?? null } : p,
    );
  }

  /** Files every plan, one break a transaction. @returns the breaks filed. */
  async file(): Promise<readonly string[]> {
    this.filing = true;
    const done: string[] = [];
    try {
      for (const plan of this.plans) {
        done.push(await this.#fileOne(plan));
        const gone = new Set(plan.filed.map((f) => f.shotId));
        this.plans = this.plans.filter((p) => p.key !== plan.key);
        this.shots = new Map([...this.shots].filter(([id]) => !gone.has(id)));
      }
      this.again = [];
      this.refused = [];
    } finally {
      this.filing = false;
    }
    return done;
  }

  async #fileOne(plan: Plan): Promise<string> {
    const { now, newId } = this.#app.surroundings;
    const at = now();
    const stored = plan.into === null ? null : await this.#app.bench.load(plan.into);
    const start: WireBreak = stored?.record ?? newBreak(newId(), plan.number, at);
    const edits: Edit[] = [];
    const counts: Record<EndSide, number> = {
      machine: start.ends.machine.photographs.length,
      takeUp: start.ends.takeUp.photographs.length,
    };
    const originals: NewOriginal[] = [];
    const inOrder = [...plan.filed].sort((a, b) => VIEW_IDS.indexOf(a.view) - VIEW_IDS.indexOf(b.view));
    for (const filed of inOrder) {
      const shot = this.shots.get(filed.shotId);
      if (!shot) continue;
      if (
        start.ends[filed.side].recovery !== "recovered" &&
        !edits.some((e) => e.kind === "set-end" && e.side === filed.side)
      )
        edits.push({ kind: "set-end", side: filed.side, patch: { recovery: "recovered" } });
      const photograph: Photograph = {
        ...shot.photograph,
        id: newId(),
        view: filed.view,
        turnDeg: 0,
        scale: null,
        axisDeg: null,
        rendered: false,
        ...lightOf(this.#app.preferences),
      };
      edits.push({ kind: "add-photograph", side: filed.side, index: counts[filed.side], photograph });
      counts[filed.side] += 1;
      if (shot.original !== null) originals.push(shot.original);
    }
    const edit: Edit = { kind: "together", edits };
    const { next, inverse } = applyEdit(start, edit, at);
    const entry: NewLogEntry = {
      breakId: next.id,
      revision: next.revision,
      edit,
      inverse,
      origin: stored === null ? "import" : "reader",
      of: null,
      by: this.#app.reader,
      at,
    };
    const summary = summarise(next, suggest(observe(next)).verdict);
    await this.#app.bench.commit({ entries: [entry], records: [{ record: next, summary }], originals });
    this.#app.noteSummaries([summary]);
    return next.id;
  }
}
