import type { Point } from "../../model/break/geometry.ts";
import type { Drawing } from "./drawing.ts";
import { paintAxis, paintLive } from "./live-painter.ts";
import type { MarksPainter } from "./marks-painter.ts";
import { MovingMarks } from "./moving-marks.ts";
import { TONE_LOOK } from "./palette.ts";
import { linesOf, paintLines } from "./paint-lines.ts";
import { paintPicture } from "./paint-picture.ts";
import { paintScaleBar } from "./scale-bar.ts";
import type { SelectedMark } from "./selected-mark.ts";
import type { LayerName, Painter } from "./stage-layers.ts";
import type { StagePoint } from "./transform.ts";
import type { AxisLine, ScaleBar } from "./types.ts";
import type { Viewing } from "./viewing.ts";

/** Up to so many marks are stroked anew at every frame of a movement; more are stroked once and moved as a picture. */
const STROKED_WHILE_MOVING = 100;

/** The parts of a stage that are seen. */
export interface SceneParts {
  readonly viewing: Viewing;
  readonly marks: MarksPainter;
  readonly drawing: Drawing;
  readonly selected: SelectedMark;
  readonly device: { readonly pixelRatio: number; readonly hasVisibleFocus: boolean };
}

/** What is on the three layers, from the parts of the stage and a few things that are only seen. */
export class Scene {
  axis: AxisLine | null = null;
  scaleBar: ScaleBar | null = null;
  /** Mark under the pointer. */
  pointed: string | null = null;
  /** Keyboard cursor, photograph pixels; null while the pointer leads. */
  cursor: Point | null = null;
  /** Place that no label may cover, besides the keyboard cursor. */
  pointer: StagePoint | null = null;
  #isMoving = false;
  readonly #moving = new MovingMarks();

  constructor(readonly parts: SceneParts) {}

  get isMoving(): boolean {
    return this.#isMoving;
  }

  /** While the view moves, labels and magnifier are left out. @returns true when that changed. */
  setMoving(isMoving: boolean): boolean {
    const changed = isMoving !== this.#isMoving;
    this.#isMoving = isMoving;
    if (changed) this.#moving.forget();
    return changed;
  }

  /** Due when marks, selection or turn change. */
  marksChanged(): void {
    this.#moving.forget();
  }

  get painters(): Readonly<Record<LayerName, Painter>> {
    return {
      picture: (ctx) => this.#paintPicture(ctx),
      marks: (ctx) => this.#paintMarks(ctx),
      live: (ctx) => this.#paintLive(ctx),
    };
  }

  #paintPicture(ctx: CanvasRenderingContext2D): void {
    const { viewing, device } = this.parts;
    if (viewing.picture !== null) paintPicture(ctx, viewing.frame, viewing.picture, device.pixelRatio);
  }

  #paintMarks(ctx: CanvasRenderingContext2D): void {
    const { viewing, marks, selected, device } = this.parts;
    const frame = viewing.frame;
    if (this.axis !== null) paintAxis(ctx, frame, this.axis);
    if (this.#isMoving && marks.count > STROKED_WHILE_MOVING)
      this.#moving.paint(ctx, frame, device.pixelRatio, (inner, wide) => marks.paintLines(inner, wide, selected.id));
    else marks.paintLines(ctx, frame, selected.id);
    if (!this.#isMoving) marks.paintLabels(ctx, frame, selected.id, this.pointed, this.#avoided);
    if (this.scaleBar !== null) paintScaleBar(ctx, frame.heightPx, frame.zoom, this.scaleBar);
  }

  get #avoided(): StagePoint | null {
    return this.cursor === null ? this.pointer : this.parts.viewing.stageAt(this.cursor);
  }

  #paintLive(ctx: CanvasRenderingContext2D): void {
    const { viewing, drawing, selected, device } = this.parts;
    const placing = drawing.tool !== null ? this.cursor : null;
    const geometry = selected.geometry;
    paintLive(
      ctx,
      viewing.frame,
      {
        draft: drawing.look,
        cursor: this.cursor,
        handles: selected.handles,
        focusedHandle: selected.focusedHandle,
        loupeAt: this.#isMoving ? null : (selected.watchedPlace ?? placing),
        hasFocusRing: device.hasVisibleFocus,
      },
      viewing.picture,
      device.pixelRatio,
      (inner, near) => {
        if (geometry !== null) paintLines(inner, near, [linesOf(geometry)], TONE_LOOK.selected, "present");
      },
    );
  }
}
