import type { Edit } from "../../model/break/edits.ts";
import type { EndSide, Mark, Photograph, ProposedMark, WireBreak } from "../../model/break/wire-break.ts";
import { featureSpec, VIEW_KIND } from "../../model/evidence/features.ts";
import { pxPerMm } from "../../model/measure/scale.ts";
import { PictureError } from "../../model/picture/picture-error.ts";
import { shownAs } from "../../model/picture/shown-as.ts";
import type { Proposals } from "../../model/picture/propose/proposals.ts";
import type { ProposeClient } from "../workers/propose-client.ts";
import { blobToShow } from "./blob-to-show.ts";
import type { Desk } from "./desk.svelte.ts";
import { SIDE_NAME } from "./words.ts";

/** A proposed mark waiting for the reader, with a name that lasts while it waits. */
export interface Waiting {
  readonly id: string;
  readonly photographId: string;
  readonly mark: ProposedMark;
}

/** How looking for marks on one photograph stands. */
export type Looking =
  | { readonly state: "looking" }
  | { readonly state: "looked"; readonly found: Proposals }
  | { readonly state: "failed"; readonly message: string; readonly next: string };

const PREFIX = "proposed:";
export const isProposedId = (id: string): boolean => id.startsWith(PREFIX);

/** The kind of picture the finders know; null = nothing is proposed on it. */
export function lookedAtAs(photograph: Photograph): "end_on" | "side" | null {
  if (photograph.view === "end_on") return "end_on";
  return photograph.view === "side_0" || photograph.view === "side_90" ? "side" : null;
}

/**
 * Marks proposed on the photographs of the open break. They live beside the record and count for nothing: taking one
 * makes a mark of it, turning one down is remembered on the photograph.
 */
export class Proposing {
  /** By photograph and what it was looked at as. */
  looks = $state.raw<Readonly<Record<string, Looking>>>({});
  /** The one that the keys act on; null = the first that waits. */
  picked = $state<string | null>(null);
  readonly #desk: Desk;
  readonly #client: ProposeClient;

  constructor(desk: Desk, client: ProposeClient) {
    this.#desk = desk;
    this.#client = client;
  }

  lookingAt(photograph: Photograph): Looking | null {
    return this.looks[keyOf(photograph)] ?? null;
  }

  /** Proposals of a photograph that no mark and no refusal has answered yet. */
  waiting(side: EndSide, photograph: Photograph | null): readonly Waiting[] {
    if (photograph === null) return [];
    const look = this.lookingAt(photograph);
    if (look?.state !== "looked") return [];
    return stillOpen(this.#desk.record, side, photograph, look.found).map(({ mark, at }) => ({
      id: `${PREFIX}${photograph.id}:${at}`,
      photographId: photograph.id,
      mark,
    }));
  }

  /** The proposal that the keys act on at this end. */
  current(side: EndSide = this.#desk.view.side): Waiting | null {
    const list = this.waiting(side, this.#desk.photograph(side));
    return list.find((w) => w.id === this.picked) ?? list[0] ?? null;
  }

  /** Looks once at a photograph; `again` looks anew. Never throws: a failure is shown where the proposals would be. */
  async look(side: EndSide, photograph: Photograph, again = false): Promise<void> {
    const view = lookedAtAs(photograph);
    const key = keyOf(photograph);
    if (view === null || (this.looks[key] !== undefined && !again)) return;
    this.#note(key, { state: "looking" });
    const start = performance.now();
    try {
      const blob = await blobToShow(this.#desk.app.bench, photograph);
      if (blob === null) throw new PictureError("not-a-picture", "The original is not on this disk.");
      const { nominalDiameterMm, measuredDiameterMm } = this.#desk.record.context;
      const found = await this.#client.propose({
        blob,
        shown: shownAs(photograph),
        view,
        pxPerMm: pxPerMm(photograph.scale)?.value ?? null,
        wireMm: measuredDiameterMm ?? nominalDiameterMm,
      });
      this.#note(key, { state: "looked", found });
      performance.measure("endpair:marks-looked-for", { start, detail: view });
      const open = this.waiting(side, photograph).length;
      if (again)
        this.#desk.say(open === 0 ? (found.says ?? "Nothing new to propose") : `${open} marks proposed, A takes one`);
    } catch (error) {
      const known = error instanceof PictureError ? error : null;
      // Closed or cancelled: nobody waits for it any more, and it may be asked for again.
      if (known?.code === "cancelled") this.#forget(key);
      else
        this.#note(key, {
          state: "failed",
          message: known?.message ?? String(error),
          next: known?.next ?? "Draw the marks by hand.",
        });
    }
  }

  /** Makes marks of proposals, in one step that undo takes back. */
  take(side: EndSide, list: readonly Waiting[]): boolean {
    const photograph = this.#desk.photograph(side);
    if (photograph === null || list.length === 0) return false;
    const end = this.#desk.record.ends[side];
    const marks = list.map(({ mark }) => this.#markOf(mark, photograph.id));
    const edits: Edit[] = marks.map((mark, i) => ({ kind: "add-mark", side, index: end.marks.length + i, mark }));
    const look = this.lookingAt(photograph);
    const axisDeg = look?.state === "looked" ? look.found.axisDeg : null;
    if (axisDeg !== null && photograph.axisDeg === null && marks.some((m) => m.feature === "wire_outline"))
      edits.push({ kind: "set-photograph", photographId: photograph.id, patch: { axisDeg } });
    if (end.recovery === "awaited") edits.unshift({ kind: "set-end", side, patch: { recovery: "recovered" } });
    if (!this.#desk.do({ kind: "together", edits })) return false;
    // One that was taken stays in hand for correcting; of several, none is.
    this.#desk.view.selected = marks.length === 1 ? (marks[0]?.id ?? null) : null;
    const names = marks.map((m) => featureSpec(m.feature).name).join(", ");
    this.#desk.say(`Taken: ${names}, ${SIDE_NAME[side]}`);
    return true;
  }

  /** Remembers on the photograph that the reader does not see it so. */
  turnDown(waiting: Waiting): boolean {
    const side = this.#desk.view.side;
    const photograph = this.#desk.record.ends[side].photographs.find((p) => p.id === waiting.photographId);
    if (!photograph) return false;
    const turnedDown = [...(photograph.turnedDown ?? []), waiting.mark];
    const done = this.#desk.do({ kind: "set-photograph", photographId: photograph.id, patch: { turnedDown } });
    if (done) this.#desk.say(`Turned down: ${featureSpec(waiting.mark.feature).name}`);
    return done;
  }

  /** Puts the tool in hand: the reader draws the same feature, and the proposal is kept beside it. */
  redraw(waiting: Waiting): void {
    const { mark } = waiting;
    this.#desk.view.selected = null;
    this.#desk.view.drawing = {
      kind: "feature",
      feature: mark.feature,
      geometry: mark.geometry.type,
      proposed: mark,
    };
    this.#desk.say(`Draw the ${featureSpec(mark.feature).name}`);
  }

  #markOf(proposed: ProposedMark, photographId: string): Mark {
    return {
      id: this.#desk.app.surroundings.newId(),
      feature: proposed.feature,
      state: "present",
      photographId,
      geometry: proposed.geometry,
      given: {},
      note: "",
      by: this.#desk.app.reader,
      at: this.#desk.app.surroundings.now(),
      proposed,
    };
  }

  #note(key: string, look: Looking): void {
    this.looks = { ...this.looks, [key]: look };
  }

  #forget(key: string): void {
    this.looks = Object.fromEntries(Object.entries(this.looks).filter(([k]) => k !== key));
  }
}

const keyOf = (p: Photograph): string => `${p.hash}:${lookedAtAs(p) ?? ""}:${p.page ?? 0}`;

/** What the reader has not answered: no mark of that feature on the photograph or stated for the end, none turned down. */
export function stillOpen(
  record: WireBreak,
  side: EndSide,
  photograph: Photograph,
  found: Proposals,
): readonly { readonly mark: ProposedMark; readonly at: number }[] {
  const kind = VIEW_KIND[photograph.view];
  return found.marks
    .map((mark, at) => ({ mark, at }))
    .filter(({ mark }) => {
      const drawable = kind !== null && featureSpec(mark.feature).geometry[kind]?.includes(mark.geometry.type);
      const answered = record.ends[side].marks.some(
        (m) => m.feature === mark.feature && (m.state === "present" ? m.photographId === photograph.id : true),
      );
      const down = photograph.turnedDown?.some((t) => t.feature === mark.feature && t.finder === mark.finder) ?? false;
      return drawable === true && !answered && !down;
    });
}
