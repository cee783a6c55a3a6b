import type { Point } from "../../model/break/geometry.ts";
import { NOTHING_HELD, type Held } from "./draft.ts";
import { Drawing } from "./drawing.ts";
import { Gestures, type GestureTarget, type Grip } from "./gestures.ts";
import { keyHands } from "./key-hands.ts";
import { Keys } from "./keys.ts";
import { MarksPainter } from "./marks-painter.ts";
import { Scene } from "./scene.ts";
import { SelectedMark } from "./selected-mark.ts";
import { StageBox } from "./stage-box.ts";
import { StageLayers } from "./stage-layers.ts";
import { stagePoint, type StagePoint } from "./transform.ts";
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
import { Viewing } from "./viewing.ts";

/** Distance of an ellipse's turn handle from its rim, stage pixels. */
const TURN_ARM_PX = 26;
const KEY_REACH_PX = 8;
/** The browser repeats pointer movements after a layout; those that move less than this are not the hand's. */
const STILL_PX = 0.5;

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
  readonly #viewing: Viewing;
  readonly #marks = new MarksPainter();
  readonly #drawing: Drawing;
  readonly #selected: SelectedMark;

  readonly #scene: Scene;

  #isEditable = true;
  #pointer: StagePoint | null = null;
  #cursorAt: Point | null = null;

  constructor(container: HTMLDivElement, callbacks: EndStageCallbacks, options: EndStageOptions) {
    this.#callbacks = callbacks;
    this.#box = new StageBox(container, options, () => this.#resized());
    const viewing = new Viewing(this.#box);
    this.#viewing = viewing;
    this.#drawing = new Drawing(
      {
        get turnDeg() {
          return viewing.turnDeg;
        },
        get zoom() {
          return viewing.view.zoom;
        },
        fitEllipse: (points) => callbacks.fitEllipse(points),
      },
      {
        drawn: (geometry) => callbacks.onDrawn(geometry),
        preview: (geometry) => callbacks.onPreview?.(null, geometry),
        say: (text) => this.#say(text),
      },
    );
    const isReshapable = () => this.#isEditable && this.#drawing.tool === null;
    this.#selected = new SelectedMark(
      this.#marks,
      {
        get isReshapable() {
          return isReshapable();
        },
        get armPx() {
          return TURN_ARM_PX / viewing.view.zoom;
        },
      },
      {
        show: (id, geometry) => {
          this.#marks.showAs(id, geometry);
          callbacks.onPreview?.(geometry === null ? null : id, geometry);
          this.#layers.redraw("marks", "live");
        },
        reshaped: (id, geometry) => {
          // The new shape first: a caller that redraws in between must not fall back to the old one.
          callbacks.onReshaped(id, geometry);
          callbacks.onPreview?.(null, null);
        },
      },
    );
    this.cursor = this.#makeCursor();
    this.#gestures = new Gestures(container, this.#gestureTarget());
    this.#scene = new Scene({
      viewing,
      marks: this.#marks,
      drawing: this.#drawing,
      selected: this.#selected,
      device: this.#box,
    });
    this.#keys = new Keys(
      container,
      keyHands({
        stage: this,
        viewing,
        drawing: this.#drawing,
        selected: this.#selected,
        scene: this.#scene,
        gestures: this.#gestures,
        nudge: (dx, dy, unit) => this.#nudge(dx, dy, unit),
        select: (id) => this.#select(id),
        cancelled: (discarded) => callbacks.onCancel?.(discarded),
        focusChanged: () => this.#layers.redraw("live"),
      }),
    );
    // Last: a layer paints as soon as it is made, and then everything it shows must be there.
    this.#layers = new StageLayers(container, this.#scene.painters);
    this.#resized();
  }

  // What screens set and ask

  get view(): View {
    return this.#viewing.view;
  }

  set view(view: View) {
    this.#viewing.set(view);
    this.#redrawAll();
  }

  get selection(): string | null {
    return this.#selected.id;
  }

  setPicture(picture: Picture | null): void {
    if (this.#viewing.setPicture(picture)) {
      this.cancel();
      this.#cursorAt = null;
      this.fit();
    }
    this.#redrawAll();
  }

  setTurn(deg: number): void {
    this.#viewing.setTurn(deg);
    if (this.#viewing.refit()) this.#tellView("fit");
    this.#redrawAll();
  }

  setMarks(marks: readonly DrawnMark[]): void {
    this.#marks.setMarks(marks);
    this.#selected.marksChanged();
    this.#scene.marksChanged();
    this.#layers.redraw("marks", "live");
  }

  setSelection(id: string | null): void {
    if (id !== this.#selected.id) this.#selected.select(id);
    this.#scene.marksChanged();
    this.#layers.redraw("marks", "live");
  }

  setTool(tool: Tool | null): void {
    this.#selected.endKeys();
    this.#gestures.drop();
    this.#drawing.setTool(tool);
    this.#selected.focusHandle(null);
    this.#box.setPointerLook(tool === null ? "grab" : "crosshair");
    this.#layers.redraw("marks", "live");
  }

  setEditable(editable: boolean): void {
    if (!editable) this.cancel();
    this.#isEditable = editable;
    this.#layers.redraw("live");
  }

  setAxis(line: AxisLine | null): void {
    this.#scene.axis = line;
    this.#layers.redraw("marks");
  }

  setScaleBar(bar: ScaleBar | null): void {
    this.#scene.scaleBar = bar;
    this.#layers.redraw("marks");
  }

  setLabel(label: string): void {
    this.#box.setLabel(label);
  }

  fit(): void {
    if (this.#viewing.fit()) this.#tellView("fit");
  }

  zoomBy(factor: number, at?: readonly [number, number]): void {
    this.#viewing.zoomBy(factor, at === undefined ? undefined : stagePoint(at[0], at[1]));
    this.#tellView("reader");
  }

  panBy(dx: number, dy: number): void {
    this.#viewing.panBy(dx, dy);
    this.#tellView("reader");
  }

  nudge(dx: number, dy: number, unit: StepUnit): boolean {
    const moved = this.#nudge(dx, dy, unit);
    this.#selected.endKeys();
    return moved;
  }

  stepHandle(direction: 1 | -1): void {
    const name = this.#selected.stepHandle(direction);
    if (name !== null) this.#say(`${name}.`);
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
    const had = this.#drawing.started || this.#selected.isChanging;
    this.#gestures.drop();
    this.#drawing.cancel();
    this.#selected.cancel();
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
    this.#viewing.setPicture(null);
    this.#marks.setMarks([]);
  }

  #resized(): void {
    this.#layers.resize(this.#box.widthPx, this.#box.heightPx, this.#box.pixelRatio);
    if (this.#viewing.refit()) this.#tellView("resize");
    else this.#redrawAll();
  }

  #tellView(cause: ViewCause): void {
    this.#redrawAll();
    this.#callbacks.onView?.(this.#viewing.view, cause);
  }

  #redrawAll(): void {
    this.#layers.redraw("picture", "marks", "live");
  }

  #say(text: string): void {
    this.#callbacks.onSay?.(text);
  }

  // Marks and cursor

  #nudge(dx: number, dy: number, unit: StepUnit): boolean {
    const [x, y] = this.#viewing.step(dx, dy, unit);
    return this.#selected.nudge(x, y);
  }

  #select(id: string | null): void {
    if (id === this.#selected.id) return;
    this.setSelection(id);
    this.#say(id === null ? "Nothing selected." : `${this.#marks.labelOf(id) ?? "Mark"} selected.`);
    this.#callbacks.onSelect(id);
  }

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

  /** The cursor begins where the pointer was last, else in the middle. */
  #beginCursor(): Point {
    const { view } = this.#viewing;
    this.#cursorAt ??=
      this.#pointer === null ? this.#viewing.inPicture(view.centre) : this.#viewing.placeAt(this.#pointer);
    this.#scene.cursor = this.#cursorAt;
    return this.#cursorAt;
  }

  #moveCursor(dx: number, dy: number, unit: StepUnit): void {
    const from = this.#beginCursor();
    const [x, y] = this.#viewing.step(dx, dy, unit);
    this.#cursorAt = this.#viewing.inPicture([from[0] + x, from[1] + y]);
    this.#scene.cursor = this.#cursorAt;
    const [panX, panY] = this.#viewing.panToSee(this.#cursorAt);
    if (panX !== 0 || panY !== 0) this.panBy(panX, panY);
    this.#drawing.hover(this.#cursorAt, NOTHING_HELD);
    this.#callbacks.onCursor?.(this.#cursorAt);
    this.#layers.redraw("marks", "live");
  }

  #placeAtCursor(): void {
    const at = this.#beginCursor();
    if (this.#drawing.tool === null) this.#select(this.#marks.pick(at, KEY_REACH_PX / this.#viewing.view.zoom));
    else if (this.#isEditable) this.#drawing.place(at);
    this.#layers.redraw("marks", "live");
  }

  // Gestures

  #gestureTarget(): GestureTarget {
    return {
      press: (at, held, reachPx) => this.#press(at, held, reachPx),
      drag: (at, held) => this.#drag(at, held),
      release: (at, held) => {
        if (this.#selected.isChanging) this.#selected.commit();
        else this.#drawing.release(this.#viewing.placeAt(at), held);
        this.#layers.redraw("marks", "live");
      },
      click: (at, held, reachPx, isSecond) => this.#click(at, held, reachPx, isSecond),
      dropPress: () => {
        this.#selected.cancel();
        this.#drawing.forgetPress();
        this.#layers.redraw("marks", "live");
      },
      hover: (at, held, reachPx) => this.#hover(at, held, reachPx),
      panBy: (dx, dy) => this.panBy(dx, dy),
      zoomBy: (factor, at) => this.zoomBy(factor, at),
      moving: (isMoving) => {
        if (this.#scene.setMoving(isMoving)) this.#layers.redraw("marks", "live");
      },
    };
  }

  #press(at: StagePoint, held: Held, reachPx: number): Grip {
    this.#selected.endKeys();
    this.#pointer = at;
    this.#scene.cursor = null;
    if (!this.#isEditable) return "pan";
    if (this.#drawing.tool !== null) {
      this.#drawing.press(this.#viewing.placeAt(at), held);
      return "draw";
    }
    const place = this.#viewing.photoAt(at);
    const hold = this.#selected.holdAt(place, reachPx / this.#viewing.view.zoom);
    if (hold === null) return "pan";
    this.#selected.begin(hold, place);
    return "reshape";
  }

  #drag(at: StagePoint, held: Held): void {
    this.#pointer = at;
    this.#scene.pointer = at;
    if (this.#selected.isChanging) this.#selected.to(this.#viewing.photoAt(at));
    else this.#drawing.drag(this.#viewing.placeAt(at), held);
    this.#callbacks.onCursor?.(this.#viewing.photoAt(at));
    this.#layers.redraw("live");
  }

  #click(at: StagePoint, held: Held, reachPx: number, isSecond: boolean): void {
    this.#selected.cancel();
    const place = this.#viewing.photoAt(at);
    const reach = reachPx / this.#viewing.view.zoom;
    if (this.#drawing.tool === null || !this.#isEditable) {
      const hold = this.#selected.holdAt(place, reach);
      if (hold?.kind === "handle") this.#selected.focusHandle(hold.index);
      else this.#select(this.#marks.pick(place, reach));
    } else if (isSecond && this.#drawing.canFinish) {
      this.#drawing.forgetPress();
      this.#drawing.finish();
    } else this.#drawing.place(this.#viewing.placeAt(at), held);
    this.#layers.redraw("marks", "live");
  }

  #hover(at: StagePoint | null, held: Held, reachPx: number): void {
    const before = this.#pointer;
    this.#pointer = at;
    if (at !== null && before !== null && Math.hypot(at[0] - before[0], at[1] - before[1]) < STILL_PX) return;
    if (at !== null) {
      this.#scene.cursor = null;
      this.#cursorAt = null;
    }
    const place = at === null ? null : this.#viewing.photoAt(at);
    const pointed = place === null ? null : this.#marks.pick(place, reachPx / this.#viewing.view.zoom);
    if (this.#drawing.tool !== null) this.#drawing.hover(place === null ? null : this.#viewing.inPicture(place), held);
    else this.#box.setPointerLook(pointed === null ? "grab" : "pointer");
    // A label gives way only to a pointer that draws; else it could never be read by pointing at it.
    this.#scene.pointer = this.#drawing.tool === null ? null : at;
    const isCovered = this.#scene.pointer !== null && this.#marks.hasLabelNear(this.#scene.pointer);
    if (pointed !== this.#scene.pointed || isCovered) this.#layers.redraw("marks");
    this.#scene.pointed = pointed;
    this.#callbacks.onCursor?.(place);
    this.#layers.redraw("live");
  }
}
