import type { Geometry, GeometryType, Point } from "../../model/break/geometry.ts";
import { Draft, NOTHING_HELD, type DraftLook, type DraftSurroundings, type Held } from "./draft.ts";
import type { Tool } from "./types.ts";

/** Where finished shapes, previews and spoken words go. */
export interface DrawingOutlet {
  drawn(geometry: Geometry): void;
  preview(geometry: Geometry | null): void;
  say(text: string): void;
}

/** What a shape still needs, in words, said when it is ended too early. */
const NEEDS: Readonly<Record<GeometryType, string>> = {
  point: "Place one point.",
  line: "A line needs 2 points.",
  polyline: "A traced line needs 2 points.",
  polygon: "An outline needs 3 points.",
  ellipse: "An ellipse needs 2 corners of its box, or 5 points around its rim.",
  angle: "An angle needs 3 points: arm, corner, arm.",
  edges: "Two edges need 4 points, 2 on each edge.",
};

/** The tool in hand and the shape being drawn with it. One finished shape goes out once. */
export class Drawing {
  #tool: Tool | null = null;
  #draft: Draft | null = null;

  constructor(
    readonly around: DraftSurroundings,
    readonly outlet: DrawingOutlet,
  ) {}

  get tool(): Tool | null {
    return this.#tool;
  }

  /** True while a shape has been begun and not ended. */
  get started(): boolean {
    return this.#draft?.started ?? false;
  }

  get look(): DraftLook | null {
    return this.#draft?.look() ?? null;
  }

  setTool(tool: Tool | null): void {
    this.cancel();
    this.#tool = tool;
    this.#draft = tool === null ? null : new Draft(tool.geometry, this.around);
  }

  hover(p: Point | null, held: Held): void {
    this.#draft?.hover(p, held);
    this.#preview();
  }

  press(p: Point, held: Held): void {
    this.#draft?.press(p, held);
  }

  drag(p: Point, held: Held): void {
    this.#draft?.drag(p, held);
    this.#preview();
  }

  release(p: Point, held: Held): void {
    const shape = this.#draft?.release(p, held) ?? null;
    if (shape !== null) this.#end(shape);
    else this.#sayCount();
  }

  forgetPress(): void {
    this.#draft?.forgetPress();
    this.#preview();
  }

  place(p: Point, held: Held = NOTHING_HELD): void {
    const before = this.#draft?.count ?? 0;
    const shape = this.#draft?.place(p, held) ?? null;
    if (shape !== null) this.#end(shape);
    else if ((this.#draft?.count ?? 0) !== before) this.#sayCount();
  }

  /** True when `finish` has the points it needs. */
  get canFinish(): boolean {
    return this.#draft?.canFinish ?? false;
  }

  /** @returns false when there is no shape to end or it lacks points; the reason is said. */
  finish(): boolean {
    const draft = this.#draft;
    if (draft === null || !draft.started) return false;
    const shape = draft.finish();
    if (shape !== null) {
      this.#end(shape);
      return true;
    }
    const noFit = draft.type === "ellipse" && draft.canFinish;
    this.outlet.say(noFit ? "No ellipse fits these points. Take one back or add another." : NEEDS[draft.type]);
    return false;
  }

  takeBack(): boolean {
    if (this.#draft?.takeBack() !== true) return false;
    this.#sayCount();
    this.#preview();
    return true;
  }

  /** Throws the unfinished shape away. @returns true when there was one. */
  cancel(): boolean {
    const had = this.started;
    if (this.#tool !== null) this.#draft = new Draft(this.#tool.geometry, this.around);
    if (had) {
      this.outlet.preview(null);
      this.outlet.say("Discarded.");
    }
    return had;
  }

  #end(shape: Geometry): void {
    const tool = this.#tool;
    if (tool === null) return;
    // A fresh draft first: the callback may put the tool down or take another.
    this.#draft = new Draft(tool.geometry, this.around);
    this.outlet.preview(null);
    this.outlet.say(`${tool.label}: drawn.`);
    this.outlet.drawn(shape);
  }

  #preview(): void {
    if (this.#draft === null || !this.#draft.started) return;
    const shape = this.#draft.look().shape;
    this.outlet.preview(shape !== null && shape.type === this.#draft.type ? shape : null);
  }

  #sayCount(): void {
    const n = this.#draft?.count ?? 0;
    if (n === 0) this.outlet.say("No point placed.");
    else if (n === 1) this.outlet.say(`${this.#tool?.label ?? "Shape"}: started, 1 point.`);
    else this.outlet.say(`${n} points.`);
  }
}
