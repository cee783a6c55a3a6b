import type { Point } from "../../model/break/geometry.ts";
import { NOTHING_HELD, type Held } from "./draft.ts";
import { Drawing } from "./drawing.ts";
import { Gestures, type GestureTarget, type Grip } from "./gestures.ts";
import { handlesOf, type Handle } from "./handles.ts";
import { Keys, type KeyTarget } from "./keys.ts";
import { paintAxis, paintLive } from "./live-painter.ts";
import { MarksPainter } from "./marks-painter.ts";
import { TONE_LOOK } from "./palette.ts";
import { linesOf, paintLines } from "./paint-lines.ts";
import { paintPicture } from "./paint-picture.ts";
import { handleAt, Reshaping, type Hold } from "./reshaping.ts";
import { paintScaleBar } from "./scale-bar.ts";
import { StageBox } from "./stage-box.ts";
import { StageLayers } from "./stage-layers.ts";
import {
  fittedView,
  stagePoint,
  toPhoto,
  toPhotoStep,
  toStage,
  zoomedAt,
  type Frame,
  type StagePoint,
} from "./transform.ts";
import type {
  AxisLine,
  DrawnMark,
  EndStageApi,
  EndStageCallbacks,
  EndStageOptions,
  Picture,
  ScaleBar,
  StageCursor,
  StepUnit,
  Tool,
  View,
  ViewCause,
} from "./types.ts";

/** Largest magnification: 40 stage pixels for each photograph pixel. */
const MOST_ZOOM = 40;
/** The picture can be made this much smaller than it fits, and no more. */
const LEAST_ZOOM_OF_FIT = 0.25;
const ZOOM_STEP = 1.25;
/** Distance of an ellipse's turn handle from its rim, stage pixels. */
const TURN_ARM_PX = 26;
/** Room kept between the keyboard cursor and the edge of the stage, stage pixels. */
const CURSOR_ROOM_PX = 24;
const KEY_REACH_PX = 8;

/**
 * One photograph of an end on a Konva stage: shows it with its marks and turns gestures of pointer, pen and keyboard
 * into geometry. It keeps no records: shapes leave through the callbacks, and what `setMarks` gives is what is shown.
 */
export class EndStage implements EndStageApi {
  readonly cursor: StageCursor;

  readonly #callbacks: EndStageCallbacks;
  readonly #box: StageBox;
  readonly #layers: StageLayers;
  readonly #gestures: Gestures;
  readonly #keys: Keys;
  readonly #marks = new MarksPainter();
  readonly #drawing: Drawing;
  readonly #reshaping: Reshaping;

  #view: View = { centre: [0, 0], zoom: 1 };
  #turnDeg = 0;
  #isFitted = true;
  #picture: Picture | null = null;
  #selection: string | null = null;
  #pointed: string | null = null;
  #axis: AxisLine | null = null;
  #scaleBar: ScaleBar | null = null;
  #isEditable = true;
  #isMoving = false;
  #pointer: StagePoint | null = null;
  #cursorAt: Point | null = null;
  #isCursorShown = false;
  #focusedHandle: number | null = null;
  #wasReshapedByKeys = false;

  constructor(container: HTMLDivElement, callbacks: EndStageCallbacks, options: EndStageOptions) {
    this.#callbacks = callbacks;
    this.#box = new StageBox(container, options, () => this.#resized());
    this.#layers = new StageLayers(container, {
      picture: (ctx) => this.#paintPicture(ctx),
      marks: (ctx) => this.#paintMarks(ctx),
      live: (ctx) => this.#paintLive(ctx),
    });
    const zoom = () => this.#view.zoom;
    const turnDeg = () => this.#turnDeg;
    this.#drawing = new Drawing(
      {
        get turnDeg() {
          return turnDeg();
        },
        get zoom() {
          return zoom();
        },
        fitEllipse: (points) => callbacks.fitEllipse(points),
      },
      {
        drawn: (geometry) => callbacks.onDrawn(geometry),
        preview: (geometry) => callbacks.onPreview?.(null, geometry),
        say: (text) => callbacks.onSay?.(text),
      },
    );
    this.#reshaping = new Reshaping(
      {
        show: (id, geometry) => {
          this.#marks.showAs(id, geometry);
          callbacks.onPreview?.(geometry === null ? null : id, geometry);
          this.#layers.redraw("marks", "live");
        },
        reshaped: (id, geometry) => {
          callbacks.onPreview?.(null, null);
          callbacks.onReshaped(id, geometry);
        },
      },
      () => this.#armPx(),
    );
    this.cursor = this.#makeCursor();
    this.#gestures = new Gestures(container, this.#gestureTarget());
    this.#keys = new Keys(container, this.#keyTarget());
    this.#resized();
  }

  // What screens set

  get view(): View {
    return this.#view;
  }

  set view(view: View) {
    this.#isFitted = false;
    this.#show(view, null);
  }

  get selection(): string | null {
    return this.#selection;
  }

  setPicture(picture: Picture | null): void {
    const sameSize =
      picture !== null && this.#picture?.widthPx === picture.widthPx && this.#picture.heightPx === picture.heightPx;
    this.#picture = picture;
    if (picture !== null && !sameSize) {
      this.cancel();
      this.#cursorAt = null;
      this.fit();
    }
    this.#layers.redraw("picture", "marks", "live");
  }

  setTurn(deg: number): void {
    this.#turnDeg = deg;
    if (this.#isFitted) this.fit();
    this.#layers.redraw("picture", "marks", "live");
  }

  setMarks(marks: readonly DrawnMark[]): void {
    this.#marks.setMarks(marks);
    if (this.#selection !== null && !this.#marks.has(this.#selection)) {
      this.#reshaping.cancel();
      this.#focusedHandle = null;
    }
    this.#layers.redraw("marks", "live");
  }

  setSelection(id: string | null): void {
    if (id === this.#selection) return;
    this.#endKeyReshape();
    this.#reshaping.cancel();
    this.#selection = id;
    this.#focusedHandle = null;
    this.#layers.redraw("marks", "live");
  }

  setTool(tool: Tool | null): void {
    this.#endKeyReshape();
    this.#gestures.drop();
    this.#drawing.setTool(tool);
    this.#focusedHandle = null;
    this.#box.setPointerLook(tool === null ? "grab" : "crosshair");
    this.#layers.redraw("live");
  }

  setEditable(editable: boolean): void {
    if (!editable) this.cancel();
    this.#isEditable = editable;
    this.#layers.redraw("live");
  }

  setAxis(line: AxisLine | null): void {
    this.#axis = line;
    this.#layers.redraw("marks");
  }

  setScaleBar(bar: ScaleBar | null): void {
    this.#scaleBar = bar;
    this.#layers.redraw("marks");
  }

  setLabel(label: string): void {
    this.#box.setLabel(label);
  }

  fit(): void {
    if (this.#picture === null) return;
    this.#isFitted = true;
    this.#show(this.#fitted(this.#picture), "fit");
  }

  zoomBy(factor: number, at?: readonly [number, number]): void {
    const frame = this.#frame();
    const where = at === undefined ? stagePoint(frame.widthPx / 2, frame.heightPx / 2) : stagePoint(at[0], at[1]);
    this.#isFitted = false;
    this.#show(zoomedAt(frame, factor, where, this.#zoomRange()), "reader");
  }

  panBy(dx: number, dy: number): void {
    const [x, y] = toPhotoStep(this.#frame(), dx, dy);
    this.#isFitted = false;
    this.#show({ centre: [this.#view.centre[0] - x, this.#view.centre[1] - y], zoom: this.#view.zoom }, "reader");
  }

  nudge(dx: number, dy: number, unit: StepUnit): boolean {
    const moved = this.#nudge(dx, dy, unit);
    this.#endKeyReshape();
    return moved;
  }

  stepHandle(direction: 1 | -1): void {
    this.#endKeyReshape();
    const handles = this.#handles();
    const n = handles.length;
    if (n === 0) return;
    // One place more than there are handles: the whole mark, which is where the arrows start.
    const at = this.#focusedHandle ?? n;
    const next = (at + direction + n + 1) % (n + 1);
    this.#focusedHandle = next === n ? null : next;
    this.#say(this.#focusedHandle === null ? "Whole mark." : `${handles[this.#focusedHandle]?.name ?? ""}.`);
    this.#layers.redraw("live");
  }

  finish(): boolean {
    const done = this.#drawing.finish();
    this.#layers.redraw("live");
    return done;
  }

  takeBack(): boolean {
    const done = this.#drawing.takeBack();
    this.#layers.redraw("live");
    return done;
  }

  cancel(): boolean {
    this.#gestures.drop();
    const had = [this.#drawing.cancel(), this.#reshaping.cancel()].includes(true);
    this.#wasReshapedByKeys = false;
    this.#layers.redraw("marks", "live");
    return had;
  }

  focus(): void {
    this.#box.container.focus({ preventScroll: true });
  }

  destroy(): void {
    this.#gestures.destroy();
    this.#keys.destroy();
    this.#layers.destroy();
    this.#box.destroy();
    this.#picture = null;
    this.#marks.setMarks([]);
  }

  // View

  #frame(): Frame {
    return { ...this.#view, turnDeg: this.#turnDeg, widthPx: this.#box.widthPx, heightPx: this.#box.heightPx };
  }

  #fitted(picture: Picture): View {
    return fittedView(this.#frame(), picture.widthPx, picture.heightPx);
  }

  #zoomRange(): readonly [number, number] {
    const fit = this.#picture === null ? 1 : this.#fitted(this.#picture).zoom;
    return [Math.min(fit * LEAST_ZOOM_OF_FIT, 1), MOST_ZOOM];
  }

  #show(view: View, cause: ViewCause | null): void {
    this.#view = view;
    this.#layers.redraw("picture", "marks", "live");
    if (cause !== null) this.#callbacks.onView?.(view, cause);
  }

  #resized(): void {
    this.#layers.resize(this.#box.widthPx, this.#box.heightPx, this.#box.pixelRatio);
    if (this.#isFitted && this.#picture !== null) this.#show(this.#fitted(this.#picture), "resize");
    else this.#layers.redraw("picture", "marks", "live");
  }

  #photoAt(at: StagePoint): Point {
    return toPhoto(this.#frame(), at);
  }

  /** A place to put a point: never outside the picture. */
  #placeAt(at: StagePoint): Point {
    return this.#inPicture(this.#photoAt(at));
  }

  #inPicture([x, y]: Point): Point {
    if (this.#picture === null) return [x, y];
    return [Math.min(this.#picture.widthPx, Math.max(0, x)), Math.min(this.#picture.heightPx, Math.max(0, y))];
  }

  // Painting

  #paintPicture(ctx: CanvasRenderingContext2D): void {
    if (this.#picture !== null) paintPicture(ctx, this.#frame(), this.#picture, this.#box.pixelRatio);
  }

  #paintMarks(ctx: CanvasRenderingContext2D): void {
    const frame = this.#frame();
    if (this.#axis !== null) paintAxis(ctx, frame, this.#axis);
    this.#marks.paintLines(ctx, frame, this.#selection);
    if (!this.#isMoving) this.#marks.paintLabels(ctx, frame, this.#selection, this.#pointed, this.#avoided());
    if (this.#scaleBar !== null) paintScaleBar(ctx, frame.heightPx, frame.zoom, this.#scaleBar);
  }

  /** What no label may cover: the pointer while something is drawn or moved, else the keyboard cursor. */
  #avoided(): StagePoint | null {
    if (this.#isCursorShown && this.#cursorAt !== null) return toStage(this.#frame(), this.#cursorAt);
    return this.#gestures.pressed || this.#drawing.tool !== null ? this.#pointer : null;
  }

  #paintLive(ctx: CanvasRenderingContext2D): void {
    const frame = this.#frame();
    const shownCursor = this.#isCursorShown ? this.#cursorAt : null;
    const placing = this.#drawing.tool !== null ? shownCursor : null;
    const focused = this.#focusedHandle === null ? null : (this.#handles()[this.#focusedHandle]?.at ?? null);
    const selected = this.#selection === null ? null : this.#marks.geometryOf(this.#selection);
    paintLive(
      ctx,
      frame,
      {
        draft: this.#drawing.look,
        cursor: shownCursor,
        handles: this.#handles(),
        focusedHandle: this.#focusedHandle,
        loupeAt: this.#isMoving ? null : (this.#reshaping.movedPlace() ?? placing ?? focused),
        hasFocusRing: this.#box.hasVisibleFocus,
      },
      this.#picture,
      this.#box.pixelRatio,
      (inner, near) => {
        if (selected !== null) paintLines(inner, near, [linesOf(selected)], TONE_LOOK.selected, "present");
      },
    );
  }

  // The selected mark

  #armPx(): number {
    return TURN_ARM_PX / this.#view.zoom;
  }

  /** Handles are there when the mark can be reshaped: no tool in hand, writing allowed. */
  #handles(): readonly Handle[] {
    if (this.#selection === null || this.#drawing.tool !== null || !this.#isEditable) return [];
    const geometry = this.#marks.geometryOf(this.#selection);
    return geometry === null ? [] : handlesOf(geometry, this.#armPx());
  }

  #nudge(dx: number, dy: number, unit: StepUnit): boolean {
    const id = this.#selection;
    if (id === null || this.#handles().length === 0) return false;
    const geometry = this.#marks.geometryOf(id);
    if (geometry === null) return false;
    const hold: Hold =
      this.#focusedHandle === null ? { kind: "whole" } : { kind: "handle", index: this.#focusedHandle };
    const [x, y] = this.#step(dx, dy, unit);
    this.#reshaping.step(id, geometry, hold, x, y);
    this.#wasReshapedByKeys = true;
    return true;
  }

  /** Keys held down are one change: it is committed when they are let go. */
  #endKeyReshape(): void {
    if (!this.#wasReshapedByKeys) return;
    this.#wasReshapedByKeys = false;
    this.#reshaping.commit();
    this.#layers.redraw("marks", "live");
  }

  #step(dx: number, dy: number, unit: StepUnit): Point {
    return toPhotoStep({ turnDeg: this.#turnDeg, zoom: unit === "photograph" ? 1 : this.#view.zoom }, dx, dy);
  }

  #select(id: string | null): void {
    if (id === this.#selection) return;
    this.setSelection(id);
    this.#say(id === null ? "Nothing selected." : `${this.#marks.labelOf(id) ?? "Mark"} selected.`);
    this.#callbacks.onSelect(id);
  }

  #say(text: string): void {
    this.#callbacks.onSay?.(text);
  }

  // Keyboard cursor

  #makeCursor(): StageCursor {
    const at = () => this.#cursorAt;
    return {
      get at() {
        return at();
      },
      move: (dx, dy, unit) => this.#moveCursor(dx, dy, unit),
      place: () => this.#placeAtCursor(),
    };
  }

  #beginCursor(): Point {
    this.#isCursorShown = true;
    this.#cursorAt ??= this.#pointer === null ? this.#inPicture(this.#view.centre) : this.#placeAt(this.#pointer);
    return this.#cursorAt;
  }

  #moveCursor(dx: number, dy: number, unit: StepUnit): void {
    const from = this.#beginCursor();
    const [x, y] = this.#step(dx, dy, unit);
    this.#cursorAt = this.#inPicture([from[0] + x, from[1] + y]);
    this.#keepInSight(this.#cursorAt);
    this.#drawing.hover(this.#cursorAt, NOTHING_HELD);
    this.#callbacks.onCursor?.(this.#cursorAt);
    this.#layers.redraw("marks", "live");
  }

  #keepInSight(place: Point): void {
    const frame = this.#frame();
    const [x, y] = toStage(frame, place);
    const over = (v: number, size: number): number =>
      Math.max(0, CURSOR_ROOM_PX - v) - Math.max(0, v - (size - CURSOR_ROOM_PX));
    const dx = over(x, frame.widthPx);
    const dy = over(y, frame.heightPx);
    if (dx !== 0 || dy !== 0) this.panBy(dx, dy);
  }

  #placeAtCursor(): void {
    const at = this.#beginCursor();
    if (this.#drawing.tool === null) this.#select(this.#marks.pick(at, KEY_REACH_PX / this.#view.zoom));
    else if (this.#isEditable) this.#drawing.place(at);
    this.#layers.redraw("marks", "live");
  }

  // Gestures

  #gestureTarget(): GestureTarget {
    return {
      press: (at, held, reachPx) => this.#press(at, held, reachPx),
      drag: (at, held) => this.#drag(at, held),
      release: (at, held) => {
        if (this.#reshaping.active) this.#reshaping.commit();
        else this.#drawing.release(this.#placeAt(at), held);
        this.#layers.redraw("marks", "live");
      },
      click: (at, held, reachPx, isSecond) => this.#click(at, held, reachPx, isSecond),
      dropPress: () => {
        this.#reshaping.cancel();
        this.#drawing.forgetPress();
        this.#layers.redraw("marks", "live");
      },
      hover: (at, held, reachPx) => this.#hover(at, held, reachPx),
      panBy: (dx, dy) => this.panBy(dx, dy),
      zoomBy: (factor, at) => this.zoomBy(factor, at),
      moving: (isMoving) => {
        if (this.#isMoving === isMoving) return;
        this.#isMoving = isMoving;
        this.#layers.redraw("marks", "live");
      },
    };
  }

  #press(at: StagePoint, held: Held, reachPx: number): Grip {
    this.#endKeyReshape();
    this.#pointer = at;
    this.#isCursorShown = false;
    if (!this.#isEditable) return "pan";
    if (this.#drawing.tool !== null) {
      this.#drawing.press(this.#placeAt(at), held);
      return "draw";
    }
    const hold = this.#holdAt(at, reachPx);
    const id = this.#selection;
    const geometry = id === null ? null : this.#marks.geometryOf(id);
    if (hold === null || id === null || geometry === null) return "pan";
    this.#focusedHandle = null;
    this.#reshaping.begin(id, geometry, hold, this.#photoAt(at));
    return "reshape";
  }

  /** What of the selected mark lies under a place: a handle, the mark itself, or nothing. */
  #holdAt(at: StagePoint, reachPx: number): Hold | null {
    const place = this.#photoAt(at);
    const reach = reachPx / this.#view.zoom;
    const index = handleAt(this.#handles(), place, reach);
    if (index !== null) return { kind: "handle", index };
    if (this.#handles().length === 0) return null;
    return this.#marks.pick(place, reach) === this.#selection ? { kind: "whole" } : null;
  }

  #drag(at: StagePoint, held: Held): void {
    this.#pointer = at;
    if (this.#reshaping.active) this.#reshaping.to(this.#photoAt(at));
    else this.#drawing.drag(this.#placeAt(at), held);
    this.#callbacks.onCursor?.(this.#photoAt(at));
    this.#layers.redraw("live");
  }

  #click(at: StagePoint, held: Held, reachPx: number, isSecond: boolean): void {
    this.#reshaping.cancel();
    if (this.#drawing.tool === null || !this.#isEditable)
      this.#select(this.#marks.pick(this.#photoAt(at), reachPx / this.#view.zoom));
    else if (isSecond && this.#drawing.canFinish) {
      this.#drawing.forgetPress();
      this.#drawing.finish();
    } else this.#drawing.place(this.#placeAt(at), held);
    this.#layers.redraw("marks", "live");
  }

  #hover(at: StagePoint | null, held: Held, reachPx: number): void {
    this.#pointer = at;
    if (at !== null) {
      this.#isCursorShown = false;
      this.#cursorAt = null;
    }
    const place = at === null ? null : this.#photoAt(at);
    const pointed = place === null ? null : this.#marks.pick(place, reachPx / this.#view.zoom);
    if (this.#drawing.tool !== null) this.#drawing.hover(place === null ? null : this.#inPicture(place), held);
    else this.#box.setPointerLook(pointed === null ? "grab" : "pointer");
    if (pointed !== this.#pointed) {
      this.#pointed = pointed;
      this.#layers.redraw("marks");
    }
    this.#callbacks.onCursor?.(place);
    this.#layers.redraw("live");
  }

  // Keys

  #keyTarget(): KeyTarget {
    const gestures = () => this.#gestures;
    return {
      arrow: (dx, dy, unit) => {
        if (!this.#nudge(dx, dy, unit)) this.#moveCursor(dx, dy, unit);
      },
      arrowsReleased: () => this.#endKeyReshape(),
      place: () => {
        this.#placeAtCursor();
        return true;
      },
      enter: () => {
        if (this.#drawing.tool !== null && this.#drawing.canFinish) return this.finish() || true;
        this.#placeAtCursor();
        return true;
      },
      takeBack: () => this.takeBack(),
      escape: () => {
        const discarded = this.cancel();
        const wasIdle = !discarded && this.#drawing.tool === null && this.#selection === null;
        if (!discarded && this.#drawing.tool === null) this.#select(null);
        this.#callbacks.onCancel?.(discarded);
        return !wasIdle;
      },
      stepHandle: (direction) => {
        if (this.#handles().length === 0) return false;
        this.stepHandle(direction);
        return true;
      },
      zoomStep: (direction) => {
        const at = this.#isCursorShown && this.#cursorAt !== null ? toStage(this.#frame(), this.#cursorAt) : undefined;
        this.zoomBy(ZOOM_STEP ** direction, at);
      },
      fit: () => this.fit(),
      panKey: (isHeld) => this.#gestures.holdPanKey(isHeld),
      get panKeyUsed() {
        return gestures().pannedWithKey;
      },
      focusChanged: () => this.#layers.redraw("live"),
    };
  }
}
