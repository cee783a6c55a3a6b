import type { Geometry, Point } from "../../model/break/geometry.ts";
import { handlesOf, type Handle } from "./handles.ts";
import type { MarksPainter } from "./marks-painter.ts";
import { handleAt, Reshaping, type Hold, type ReshapingOutlet } from "./reshaping.ts";

/** What the selected mark must know of the stage; read at each use. */
export interface SelectedMarkSurroundings {
  /** True while the mark may be changed: no tool in hand, writing allowed. */
  readonly isReshapable: boolean;
  /** Distance of an ellipse's turn handle from its rim, photograph pixels. */
  readonly armPx: number;
}

/** The selected mark: its handles, which of them has the focus, and the change under way. */
export class SelectedMark {
  readonly #marks: MarksPainter;
  readonly #around: SelectedMarkSurroundings;
  readonly #reshaping: Reshaping;
  #id: string | null = null;
  #focused: number | null = null;
  #isChangedByKeys = false;

  constructor(marks: MarksPainter, around: SelectedMarkSurroundings, outlet: ReshapingOutlet) {
    this.#marks = marks;
    this.#around = around;
    this.#reshaping = new Reshaping(outlet, () => around.armPx);
  }

  get id(): string | null {
    return this.#id;
  }

  get geometry(): Geometry | null {
    return this.#id === null ? null : this.#marks.geometryOf(this.#id);
  }

  get focusedHandle(): number | null {
    return this.#focused;
  }

  get isChanging(): boolean {
    return this.#reshaping.active;
  }

  /** None while the mark cannot be reshaped. */
  get handles(): readonly Handle[] {
    const geometry = this.geometry;
    return geometry === null || !this.#around.isReshapable ? [] : handlesOf(geometry, this.#around.armPx);
  }

  /** The place for the magnifier: the handle that is moved or has the focus. */
  get watchedPlace(): Point | null {
    const focused = this.#focused === null ? null : (this.handles[this.#focused]?.at ?? null);
    return this.#reshaping.movedPlace() ?? focused;
  }

  select(id: string | null): void {
    this.endKeys();
    this.#reshaping.cancel();
    this.#id = id;
    this.#focused = null;
  }

  focusHandle(index: number | null): void {
    this.#focused = index;
  }

  /** Moves the focus on, the whole mark being one more stop. @returns what has it now, in words; null without handles. */
  stepHandle(direction: 1 | -1): string | null {
    this.endKeys();
    const handles = this.handles;
    const n = handles.length;
    if (n === 0) return null;
    const next = ((this.#focused ?? n) + direction + n + 1) % (n + 1);
    this.#focused = next === n ? null : next;
    return handles[next]?.name ?? "whole mark";
  }

  /** What of the mark lies under a place: a handle, the mark itself, or nothing. */
  holdAt(place: Point, reachPx: number): Hold | null {
    const handles = this.handles;
    if (handles.length === 0) return null;
    const index = handleAt(handles, place, reachPx);
    if (index !== null) return { kind: "handle", index };
    return this.#marks.pick(place, reachPx) === this.#id ? { kind: "whole" } : null;
  }

  begin(hold: Hold, from: Point): void {
    const geometry = this.geometry;
    if (this.#id === null || geometry === null) return;
    this.#focused = null;
    this.#reshaping.begin(this.#id, geometry, hold, from);
  }

  to(place: Point): void {
    this.#reshaping.to(place);
  }

  commit(): void {
    this.#reshaping.commit();
  }

  cancel(): boolean {
    this.#isChangedByKeys = false;
    return this.#reshaping.cancel();
  }

  /** Moves the focused handle, or the whole mark. @returns false when there is nothing to move. */
  nudge(dx: number, dy: number): boolean {
    const geometry = this.geometry;
    if (this.#id === null || geometry === null || this.handles.length === 0) return false;
    const hold: Hold = this.#focused === null ? { kind: "whole" } : { kind: "handle", index: this.#focused };
    this.#reshaping.step(this.#id, geometry, hold, dx, dy);
    this.#isChangedByKeys = true;
    return true;
  }

  /** Keys held down are one change: it is committed when they are let go. */
  endKeys(): void {
    if (!this.#isChangedByKeys) return;
    this.#isChangedByKeys = false;
    this.#reshaping.commit();
  }

  /** The marks were replaced; a change of a mark that is gone ends without a result. */
  marksChanged(): void {
    if (this.#id !== null && this.#marks.has(this.#id)) return;
    this.cancel();
    this.#focused = null;
  }
}
