import { getContext, setContext } from "svelte";
import type { Edit } from "../../model/break/edits.ts";
import { findMark, findPhotograph, refilePhotograph, takeOutPhotograph } from "../../model/break/edits.ts";
import type { Geometry, Point } from "../../model/break/geometry.ts";
import type { EndSide, Mark, Photograph, ProposedMark, Scale } from "../../model/break/wire-break.ts";
import { otherSide } from "../../model/break/wire-break.ts";
import { featureSpec, VIEW_KIND, VIEW_NAME, type FeatureId, type ViewId } from "../../model/evidence/features.ts";
import type { MarkState, MeasureValue } from "../../model/evidence/observations.ts";
import type { ScaleProfile } from "../../model/measure/profile.ts";
import { measureWarnings, type ScaleWarning } from "../../model/measure/warnings.ts";
import type { App } from "../shell/app.svelte.ts";
import type { Bench } from "./bench.svelte.ts";
import type { ProposeClient } from "../workers/propose-client.ts";
import type { Pictures } from "./pictures.ts";
import { isProposedId, Proposing } from "./proposing.svelte.ts";
import { Seeing, type SeeingTools } from "./seeing.svelte.ts";
import { BenchView } from "./view.svelte.ts";
import { SIDE_NAME, STATE_NAME } from "./words.ts";

/** The open break with the way it is looked at: what the keys and buttons of the bench do. */
export class Desk {
  /** True where a second reader works: nothing may be filed, scaled or changed but own marks and the way it is looked at. */
  readonly blind: boolean = false;
  readonly view = new BenchView();
  readonly app: App;
  readonly bench: Bench;
  readonly pictures: Pictures;
  readonly proposing: Proposing;
  readonly seeing: Seeing;
  /** The state the next picked feature gets. */
  paletteState = $state<MarkState>("present");
  /** Length drawn for a scale, waiting for its millimetres. */
  drawnLength = $state.raw<{
    readonly photographId: string;
    readonly a: readonly [number, number];
    readonly b: readonly [number, number];
  } | null>(null);
  /** Shape of the selected mark or of the drawing while it changes under the hand. */
  preview = $state.raw<{ readonly markId: string | null; readonly geometry: Geometry } | null>(null);
  /** Where the cross or the pointer is while a tool is in hand, pixels of the photograph. */
  cursor = $state.raw<Point | null>(null);
  said = $state("");
  /** All pictures of the break were decoded once; heavier work may begin. */
  picturesReady = $state(false);
  /** The objective-and-camera profiles of the bench. */
  profiles = $state.raw<readonly ScaleProfile[]>([]);
  /** What the reader should know about scales and measures. */
  readonly scaleWarnings: readonly ScaleWarning[] = $derived.by(() =>
    measureWarnings(this.record, { profiles: this.profiles, now: this.app.surroundings.now() }),
  );

  constructor(app: App, bench: Bench, pictures: Pictures, propose: ProposeClient, seeing: SeeingTools) {
    this.app = app;
    this.bench = bench;
    this.pictures = pictures;
    this.proposing = new Proposing(this, propose);
    this.seeing = new Seeing(this, seeing);
    app.bench
      .getSetting<readonly ScaleProfile[]>("profiles")
      .then((list) => (this.profiles = list ?? []))
      .catch((error: unknown) => app.report(error));
  }

  get record() {
    return this.bench.record;
  }

  get editable(): boolean {
    return this.app.mode === "writer";
  }

  photograph(side: EndSide = this.view.side): Photograph | null {
    return this.view.photographOf(this.record, side);
  }

  get selectedMark(): Mark | null {
    return this.view.selected === null ? null : (findMark(this.record, this.view.selected)?.mark ?? null);
  }

  do(edit: Edit): boolean {
    try {
      this.bench.apply(edit);
      return true;
    } catch (error) {
      this.app.report(error);
      return false;
    }
  }

  /** Records how photographs were lit, as one edit. @param light – in the lab's words; "" = not recorded. */
  lit(photographs: readonly Photograph[], light: string): void {
    const edits = photographs
      .filter((p) => (p.light ?? "") !== light)
      .map((p): Edit => ({
        kind: "set-photograph",
        photographId: p.id,
        patch: { light: light === "" ? null : light },
      }));
    if (edits.length > 0) this.do(edits.length === 1 ? edits[0]! : { kind: "together", edits });
  }

  say(text: string): void {
    this.said = text;
  }

  select(markId: string | null): void {
    if (markId !== null && isProposedId(markId)) {
      this.proposing.picked = markId;
      return;
    }
    this.view.selected = markId;
    if (markId === null) return;
    const place = findMark(this.record, markId);
    if (!place) return;
    this.view.side = place.side;
    if (place.mark.photographId !== null) this.view.show(place.side, place.mark.photographId);
    this.say(`${featureSpec(place.mark.feature).name}, ${SIDE_NAME[place.side]}, selected`);
  }

  openPalette(state: MarkState): void {
    this.paletteState = state;
    this.view.panel = this.view.panel === "palette" && this.paletteState === state ? "none" : "palette";
  }

  /** A feature was picked: a tool in hand when it is to be drawn, a stated mark otherwise. */
  pick(feature: FeatureId, state: MarkState = this.paletteState): void {
    this.view.panel = "none";
    const spec = featureSpec(feature);
    const side = this.view.side;
    if (this.record.ends[side].recovery === "not-recovered") {
      this.app.need(`The ${SIDE_NAME[side]} is marked as not recovered.`, "Press N if it has turned up after all.");
      return;
    }
    if (state !== "present") {
      this.#addMark(feature, state, null, null);
      return;
    }
    const here = this.photograph(side);
    const kind = here === null ? null : VIEW_KIND[here.view];
    const geometry = kind === null ? undefined : spec.geometry[kind]?.[0];
    if (geometry !== undefined) {
      this.view.selected = null;
      const proposed = this.proposing.waiting(side, here).find((w) => w.mark.feature === feature)?.mark;
      this.view.drawing = { kind: "feature", feature, geometry, ...(proposed === undefined ? {} : { proposed }) };
      this.say(`Draw the ${spec.name}`);
      return;
    }
    const fitting = this.record.ends[side].photographs.find((p) => {
      const k = VIEW_KIND[p.view];
      return k !== null && spec.geometry[k] !== undefined;
    });
    const fittingKind = fitting ? VIEW_KIND[fitting.view] : null;
    const there = fittingKind === null ? undefined : spec.geometry[fittingKind]?.[0];
    if (fitting && there !== undefined) {
      this.view.show(side, fitting.id);
      this.view.selected = null;
      this.view.drawing = { kind: "feature", feature, geometry: there };
      this.say(`Shown: ${VIEW_NAME[fitting.view]}. Draw the ${spec.name}`);
      return;
    }
    this.#addMark(feature, state, null, null);
    this.app.say(`${spec.name}: stated without a picture; no photograph of this end shows the view it belongs on.`);
  }

  drawn(side: EndSide, geometry: Geometry): void {
    const drawing = this.view.drawing;
    const photograph = this.photograph(side);
    this.preview = null;
    if (drawing === null || photograph === null) return;
    this.view.drawing = null;
    if (drawing.kind === "feature")
      this.#addMark(drawing.feature, "present", photograph.id, geometry, drawing.proposed);
    else if (drawing.kind === "redraw") this.do({ kind: "set-mark", markId: drawing.markId, patch: { geometry } });
    else if (drawing.kind === "grey-patch" && geometry.type === "point")
      void this.seeing.placePatch(photograph, geometry.points[0]);
    else if (geometry.type === "line") {
      this.drawnLength = { photographId: photograph.id, a: geometry.points[0], b: geometry.points[1] };
      this.view.panel = "scale";
    }
  }

  reshaped(markId: string, geometry: Geometry): void {
    this.preview = null;
    this.do({ kind: "set-mark", markId, patch: { geometry } });
  }

  setMarkState(markId: string, state: MarkState): void {
    this.do({ kind: "set-mark", markId, patch: state === "present" ? { state } : { state, geometry: null } });
  }

  setGiven(markId: string, key: string, value: MeasureValue | null): void {
    const place = findMark(this.record, markId);
    if (!place) return;
    const given: Record<string, MeasureValue> = { ...place.mark.given };
    if (value === null) delete given[key];
    else given[key] = value;
    this.do({ kind: "set-mark", markId, patch: { given } });
  }

  removeSelected(): boolean {
    const mark = this.selectedMark;
    if (mark === null) return false;
    this.view.selected = null;
    if (this.do({ kind: "remove-mark", markId: mark.id })) this.say(`${featureSpec(mark.feature).name} removed`);
    return true;
  }

  toggleRecovery(side: EndSide = this.view.side): void {
    const end = this.record.ends[side];
    if (end.recovery === "not-recovered") {
      this.do({
        kind: "set-end",
        side,
        patch: { recovery: end.photographs.length > 0 || end.marks.length > 0 ? "recovered" : "awaited" },
      });
      return;
    }
    if (end.photographs.length > 0 || end.marks.length > 0) {
      this.app.need(
        `The ${SIDE_NAME[side]} has photographs or marks.`,
        "Move or take them out before saying that it was not recovered.",
      );
      return;
    }
    this.do({ kind: "set-end", side, patch: { recovery: "not-recovered" } });
  }

  turn(by: number): void {
    const p = this.photograph();
    if (p) this.do({ kind: "set-photograph", photographId: p.id, patch: { turnDeg: (p.turnDeg + by + 360) % 360 } });
  }

  setView(photographId: string, view: ViewId): void {
    this.do({ kind: "set-photograph", photographId, patch: { view } });
  }

  setScale(photographId: string, scale: Scale | null): void {
    this.do({ kind: "set-photograph", photographId, patch: { scale } });
  }

  moveToOtherEnd(photographId: string): void {
    const place = findPhotograph(this.record, photographId);
    if (!place) return;
    const to = otherSide(place.side);
    const edits: Edit[] = [refilePhotograph(this.record, photographId, to)];
    if (this.record.ends[to].recovery !== "recovered")
      edits.unshift({ kind: "set-end", side: to, patch: { recovery: "recovered" } });
    if (this.do({ kind: "together", edits })) {
      this.view.show(to, photographId);
      this.app.say(`Filed under the ${SIDE_NAME[to]}.`);
    }
  }

  takeOut(photographId: string): void {
    if (this.do(takeOutPhotograph(this.record, photographId)))
      this.app.say("Taken out of this break; undo brings it back with its marks.");
  }

  async undo(): Promise<void> {
    try {
      const name = await this.bench.undo();
      this.say(name === null ? "Nothing to undo" : `Undone: ${name}`);
    } catch (error) {
      this.app.report(error);
    }
  }

  async redo(): Promise<void> {
    try {
      const name = await this.bench.redo();
      this.say(name === null ? "Nothing to redo" : `Redone: ${name}`);
    } catch (error) {
      this.app.report(error);
    }
  }

  #addMark(
    feature: FeatureId,
    state: MarkState,
    photographId: string | null,
    geometry: Geometry | null,
    proposed?: ProposedMark,
  ): void {
    const side = this.view.side;
    const mark: Mark = {
      id: this.app.surroundings.newId(),
      feature,
      state,
      photographId: photographId ?? (state === "present" ? null : (this.photograph(side)?.id ?? null)),
      geometry,
      given: {},
      note: "",
      by: this.app.reader,
      at: this.app.surroundings.now(),
      ...(proposed === undefined ? {} : { proposed }),
    };
    const end = this.record.ends[side];
    const edits: Edit[] = [{ kind: "add-mark", side, index: end.marks.length, mark }];
    if (end.recovery === "awaited") edits.unshift({ kind: "set-end", side, patch: { recovery: "recovered" } });
    const first = edits[0];
    if (first && this.do(edits.length === 1 ? first : { kind: "together", edits })) {
      this.view.selected = mark.id;
      this.say(`${featureSpec(feature).name}: ${STATE_NAME[state]}, ${SIDE_NAME[side]}`);
    }
  }
}

const KEY = Symbol("desk");
export const provideDesk = (desk: Desk): Desk => setContext(KEY, desk);
export const useDesk = (): Desk => getContext<Desk>(KEY);
