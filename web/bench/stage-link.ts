import { PictureError } from "../../model/picture/picture-error.ts";
import type { EndStageApi, View } from "../canvas/types.ts";
import type { EndSide } from "../../model/break/wire-break.ts";
import { otherSide } from "../../model/break/wire-break.ts";
import type { Desk } from "./desk.svelte.ts";
import { pxPerMmOf } from "./scale-words.ts";

/** Knows the two stages, so that keys reach them and one can follow the other. */
export class StageLink {
  readonly #desk: Desk;
  readonly #stages: Partial<Record<EndSide, EndStageApi>> = {};

  readonly #shown = new Set<EndSide>();
  #ahead = false;

  constructor(desk: Desk) {
    this.#desk = desk;
  }

  join(side: EndSide, stage: EndStageApi): () => void {
    this.#stages[side] = stage;
    return () => {
      if (this.#stages[side] === stage) delete this.#stages[side];
    };
  }

  /** A picture is on its stage. Once both are, the other views of the break are decoded ahead of being asked for. */
  shown(side: EndSide): void {
    this.#shown.add(side);
    const record = this.#desk.record;
    const wanted = (["machine", "takeUp"] as const).filter((s) => record.ends[s].photographs.length > 0);
    if (this.#ahead || !wanted.every((s) => this.#shown.has(s))) return;
    this.#ahead = true;
    this.#desk.pictures
      .ahead(wanted.flatMap((s) => record.ends[s].photographs))
      .then(() => performance.mark("endpair:pictures-ready"))
      .catch((error: unknown) => {
        // Leaving the bench cancels what was decoded ahead: nothing to tell.
        if (!(error instanceof PictureError && error.code === "cancelled")) this.#desk.app.report(error);
      })
      .finally(() => (this.#desk.picturesReady = true));
  }

  stage(side: EndSide = this.#desk.view.side): EndStageApi | null {
    return this.#stages[side] ?? null;
  }

  setTogether(together: boolean): void {
    this.#desk.view.together = together;
    const lead = this.stage();
    if (together && lead) this.follow(this.#desk.view.side, lead.view);
  }

  /** Gives the other stage the same magnification (same millimetres when both are scaled) and the same offset from its middle. */
  follow(from: EndSide, view: View): void {
    if (!this.#desk.view.together) return;
    const to = otherSide(from);
    const stage = this.#stages[to];
    const a = this.#desk.photograph(from);
    const b = this.#desk.photograph(to);
    if (!stage || !a || !b) return;
    const scaleA = pxPerMmOf(a);
    const scaleB = pxPerMmOf(b);
    const ratio = scaleA !== null && scaleB !== null ? scaleA / scaleB : a.widthPx / b.widthPx;
    const zoom = view.zoom * ratio;
    const dx = (view.centre[0] - a.widthPx / 2) * view.zoom;
    const dy = (view.centre[1] - a.heightPx / 2) * view.zoom;
    const turn = ((a.turnDeg - b.turnDeg) * Math.PI) / 180;
    const x = dx * Math.cos(turn) - dy * Math.sin(turn);
    const y = dx * Math.sin(turn) + dy * Math.cos(turn);
    stage.view = {
      ...stage.view,
      zoom,
      centre: [b.widthPx / 2 + x / zoom, b.heightPx / 2 + y / zoom] as View["centre"],
    };
  }
}
