import { getContext, setContext } from "svelte";
import { USUAL_GOAL, type ChangeGoal } from "../../model/route/change.ts";
import { traceBirth } from "../../model/route/birth.ts";
import { checkRoute } from "../../model/route/check-route.ts";
import { tryPass, type Tried } from "../../model/route/drag.ts";
import { fitLimit, type FittedLimit } from "../../model/route/limit-fit.ts";
import { burstEvidenceOf, showsBurst } from "../../model/route/observed-burst.ts";
import type { PassInput } from "../../model/route/pass.ts";
import { computeRoute, isAt, passesOf, type RoutePassComputed } from "../../model/route/route-passes.ts";
import type { DieAt, DieSeries, Route } from "../../model/route/route.ts";
import { withSeries } from "../../model/route/tried-route.ts";
import type { Bench } from "../bench/bench.svelte.ts";
import type { App } from "../shell/app.svelte.ts";

/** A pause after which what was tried with the keys becomes one edit, ms. */
const PAUSE_MS = 700;

export type RoutePanel =
  | { readonly kind: "paste"; readonly machine: number; readonly text: string }
  | { readonly kind: "fill"; readonly machine: number }
  | { readonly kind: "series"; readonly machine: number };

interface Series {
  readonly machine: number;
  readonly before: readonly PassInput[];
  readonly after: readonly PassInput[];
}

/** Angles in steps of 0.1° and reductions, both within what a die can be. */
const bounded = ({ semiAngleDeg: deg, reduction }: Tried): Tried => ({
  ...(deg === undefined ? {} : { semiAngleDeg: Math.round(Math.min(20, Math.max(1, deg)) * 10) / 10 }),
  ...(reduction === undefined ? {} : { reduction: Math.min(0.5, Math.max(0.01, reduction)) }),
});

/** The route of an open break with the way it is looked at: what the keys and buttons of the screen do. */
export class RouteDesk {
  readonly app: App;
  readonly bench: Bench;
  limit = $state.raw<FittedLimit>(fitLimit([]));
  goal = $state.raw<Omit<ChangeGoal, "limit">>(USUAL_GOAL);
  /** Number of the pass in hand, counted along the whole route. */
  focus = $state(0);
  panel = $state.raw<RoutePanel | null>(null);
  /** Whether angles are typed as the full die angle. */
  fullAngle = $state(false);
  storedSeries = $state.raw<readonly DieSeries[]>([]);
  /** A proposal shown on the chart before anybody takes it. */
  proposed = $state.raw<Series | null>(null);
  said = $state("");
  #trying = $state.raw<(Series & { readonly index: number; readonly tried: Tried }) | null>(null);
  #pause: ReturnType<typeof setTimeout> | undefined;

  readonly route: Route | null = $derived.by(() => this.bench.record.route ?? null);
  /** The route with what is being tried. */
  readonly shown: Route | null = $derived(
    this.route === null || this.#trying === null
      ? this.route
      : withSeries(this.route, this.#trying.machine, this.#trying.before, this.#trying.after),
  );
  readonly passes: readonly RoutePassComputed[] = $derived(
    this.shown === null ? [] : computeRoute(this.shown, this.limit.mean),
  );
  readonly ghosts: readonly RoutePassComputed[] = $derived.by(() => {
    if (this.route === null || this.proposed === null) return [];
    const { machine, before, after } = this.proposed;
    return computeRoute(withSeries(this.route, machine, before, after), this.limit.mean);
  });
  readonly burstSeen = $derived.by(() => showsBurst(this.bench.observations) || this.verdict === "central_burst");
  readonly birth = $derived.by(() =>
    this.route === null || passesOf(this.route).length === 0
      ? null
      : traceBirth(this.route, burstEvidenceOf(this.bench.observations), this.limit),
  );

  constructor(app: App, bench: Bench) {
    this.app = app;
    this.bench = bench;
  }

  get record() {
    return this.bench.record;
  }

  get editable(): boolean {
    return this.app.mode === "writer";
  }

  get unit() {
    return this.app.preferences.lengthUnit;
  }

  /** The confirmed type, or the suggested one. */
  get verdict() {
    const last = this.bench.record.confirmations.at(-1);
    return last?.kind === "confirmed" ? last.type : this.bench.suggestion.verdict;
  }

  /**
   * Takes a changed route over as one edit.
   *
   * @returns null, or why it cannot be
   */
  take(route: Route | null): string | null {
    this.#drop();
    if (route !== null) {
      const [fault] = checkRoute(route).faults;
      if (fault !== undefined) return fault.reason;
    }
    if (JSON.stringify(route) === JSON.stringify(this.route)) return null;
    try {
      this.bench.apply({ kind: "set-route", route });
      return null;
    } catch (error) {
      this.app.report(error);
      return error instanceof Error ? error.message : String(error);
    }
  }

  /** As `take`, for buttons: a refusal is told beside everything else the application has to say. */
  do(route: Route | null, says?: string): boolean {
    const wrong = this.take(route);
    if (wrong !== null) this.app.need(wrong);
    else if (says !== undefined) this.said = says;
    return wrong === null;
  }

  /** Shows another angle or reduction of a pass without writing it; its neighbour takes up the reduction. */
  try(index: number, tried: Tried): void {
    const pass = this.passes[index];
    if (pass === undefined || this.route === null || !this.editable) return;
    if (this.#trying !== null && this.#trying.index !== index) this.keep();
    const { machine, die } = pass.at;
    // Each try starts from what is recorded, so that a hand which comes back leaves no trace.
    const before = passesOf(this.route)
      .filter((p) => p.at.machine === machine)
      .map((p) => p.input);
    const all = { ...this.#trying?.tried, ...bounded(tried) };
    this.proposed = null;
    clearTimeout(this.#pause);
    this.#trying = { index, tried: all, machine, before, after: tryPass(before, die, all) };
  }

  /** One step with the keys; written after a pause as one edit. */
  step(index: number, by: { readonly degrees?: number; readonly reduction?: number }): void {
    const pass = this.passes[index];
    if (pass === undefined || !this.editable) return;
    const r = pass.computed.reduction.value ?? 0;
    this.try(index, {
      ...(by.degrees === undefined ? {} : { semiAngleDeg: pass.input.semiAngleDeg.value + by.degrees }),
      ...(by.reduction === undefined ? {} : { reduction: r + by.reduction }),
    });
    this.#pause = setTimeout(() => this.keep(), PAUSE_MS);
  }

  /** Writes what was tried as one edit. */
  keep(): void {
    clearTimeout(this.#pause);
    const { shown } = this;
    if (this.#trying === null || shown === null) return;
    this.do(shown);
  }

  /** Back to what is recorded. @returns whether anything was being tried */
  leave(): boolean {
    const tried = this.#trying !== null || this.proposed !== null;
    this.proposed = null;
    this.#drop();
    return tried;
  }

  focusOn(at: DieAt): void {
    const index = this.passes.findIndex((p) => isAt(at, p.at));
    if (index >= 0) this.focus = index;
  }

  /** Takes the likeliest pass in hand, else the one in which the wire parted. */
  focusOnSuspect(): void {
    const likeliest = this.burstSeen
      ? this.birth?.passes.reduce((a, b) => (b.probability > a.probability ? b : a), this.birth.passes[0]!)
      : undefined;
    const at = likeliest?.at ?? this.route?.brokeAt ?? null;
    if (at !== null) this.focusOn(at);
  }

  async storeSeries(series: readonly DieSeries[]): Promise<void> {
    await this.app.bench.setSetting("dieSeries", series);
    this.storedSeries = series;
  }

  async undo(): Promise<void> {
    try {
      this.leave();
      const name = await this.bench.undo();
      this.said = name === null ? "Nothing to undo" : `Undone: ${name}`;
    } catch (error) {
      this.app.report(error);
    }
  }

  async redo(): Promise<void> {
    try {
      this.leave();
      const name = await this.bench.redo();
      this.said = name === null ? "Nothing to redo" : `Redone: ${name}`;
    } catch (error) {
      this.app.report(error);
    }
  }

  #drop(): void {
    clearTimeout(this.#pause);
    this.#trying = null;
  }
}

const KEY = Symbol("route desk");
export const provideRouteDesk = (desk: RouteDesk): RouteDesk => setContext(KEY, desk);
export const useRouteDesk = (): RouteDesk => getContext<RouteDesk>(KEY);
