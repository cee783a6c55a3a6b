import type { Geometry, GeometryType, Point } from "../../model/break/geometry.ts";
import { uprightAngle } from "./handles.ts";
import { simplified } from "./simplify.ts";
import { toPhotoStep, toStageStep } from "./transform.ts";
import type { EllipseGeometry } from "./types.ts";

/** What a draft must know of the stage while it grows; read at each use, because the reader may zoom meanwhile. */
export interface DraftSurroundings {
  readonly turnDeg: number;
  /** Stage pixels per photograph pixel. */
  readonly zoom: number;
  fitEllipse(points: readonly Point[]): EllipseGeometry | null;
}

/** Keys held: `even` (Shift) steps lines by 15° and rounds ellipses, `fromCentre` (Alt) grows an ellipse from its middle. */
export interface Held {
  readonly even: boolean;
  readonly fromCentre: boolean;
}
export const NOTHING_HELD: Held = { even: false, fromCentre: false };

/** Shape as far as it is drawn: lines to show and the points that were placed. */
export interface DraftLook {
  readonly shape: Geometry | null;
  readonly placed: readonly Point[];
}

/** Points a shape of a fixed number of points needs. */
const FIXED: Partial<Record<GeometryType, number>> = { point: 1, line: 2, angle: 3, edges: 4 };
/** Points from which a shape of any number of points can be finished. */
const LEAST: Partial<Record<GeometryType, number>> = { polyline: 2, polygon: 3 };
/** An ellipse has five unknowns; two placed points are taken as corners of its box instead. */
const RIM_POINTS = 5;
const STEP_DEG = 15;
/** A click this near the first point closes an outline, stage pixels. */
const CLOSE_PX = 10;
/** Farthest a traced outline may be from the hand's path after simplifying, stage pixels. */
const TRACE_TOLERANCE_PX = 1.25;
/** Points of a shape that are this near each other count as one, photograph pixels. */
const SAME_PX = 1e-6;

/**
 * A shape while it is drawn: points come in, one geometry comes out. Pointer and keyboard use the same draft,
 * so both give the same result.
 */
export class Draft {
  #placed: Point[] = [];
  #trace: Point[] | null = null;
  #pressed: Point | null = null;
  #hover: Point | null = null;
  #held: Held = NOTHING_HELD;

  constructor(
    readonly type: GeometryType,
    readonly around: DraftSurroundings,
  ) {}

  get count(): number {
    return this.#placed.length;
  }

  get started(): boolean {
    return this.#placed.length > 0 || this.#pressed !== null;
  }

  /** Shows where the next point would go. */
  hover(p: Point | null, held: Held): void {
    this.#hover = p;
    this.#held = held;
  }

  /** A press that may become a drag. */
  press(p: Point, held: Held): void {
    this.#pressed = p;
    this.hover(p, held);
  }

  /** The press moved on, far enough to count as a drag. */
  drag(p: Point, held: Held): void {
    if (this.#pressed === null) return;
    this.hover(p, held);
    if (!(this.type in LEAST)) return;
    this.#trace ??= [this.#pressed];
    this.#trace.push(p);
  }

  /** The drag ended. @returns the finished shape, or null when it wants more points. */
  release(p: Point, held: Held): Geometry | null {
    const from = this.#pressed;
    this.#pressed = null;
    if (from === null) return null;
    if (this.#trace !== null) return this.#endTrace();
    if (this.type === "ellipse") return this.#placed.length === 0 ? this.#box(from, p, held) : this.place(p, held);
    // The press starts a line unless a click has already started this one.
    const startsHere = this.type === "edges" ? this.#placed.length % 2 === 0 : this.#placed.length === 0;
    if (startsHere && this.type !== "point") this.place(from, NOTHING_HELD);
    return this.place(p, held);
  }

  /** The press was taken away (a second finger, a lost pointer); placed points stay. */
  forgetPress(): void {
    this.#pressed = null;
    this.#trace = null;
  }

  /** Places a point. @returns the finished shape, or null when it wants more points. */
  place(p: Point, held: Held): Geometry | null {
    this.#pressed = null;
    const first = this.#placed[0];
    const least = LEAST[this.type];
    if (least !== undefined && first !== undefined && this.#placed.length >= Math.max(3, least) && this.#near(first, p))
      return this.#closed();
    const at = this.#stepped(p, held);
    const last = this.#placed[this.#placed.length - 1];
    if (last !== undefined && apart(last, at) < SAME_PX) return null;
    this.#placed.push(at);
    return this.#placed.length === FIXED[this.type] ? this.#fixedShape(this.#placed) : null;
  }

  /** Ends a shape of any number of points. @returns null when it still lacks points or no ellipse fits. */
  finish(): Geometry | null {
    if (this.type === "ellipse") {
      const [a, b] = this.#placed;
      if (this.#placed.length === 2 && a !== undefined && b !== undefined) return this.#box(a, b, NOTHING_HELD);
      return this.#placed.length >= RIM_POINTS ? this.around.fitEllipse(this.#placed) : null;
    }
    const least = LEAST[this.type];
    return least !== undefined && this.#placed.length >= least ? this.#open(this.#placed) : null;
  }

  /** True when `finish` has the points it needs. */
  get canFinish(): boolean {
    const n = this.#placed.length;
    if (this.type === "ellipse") return n === 2 || n >= RIM_POINTS;
    return n >= (LEAST[this.type] ?? Infinity);
  }

  /** @returns false when there was no point to take back. */
  takeBack(): boolean {
    return this.#placed.pop() !== undefined;
  }

  /** What to show. */
  look(): DraftLook {
    const hover = this.#hover;
    if (this.#trace !== null) return { shape: this.#open([...this.#placed, ...this.#trace]), placed: this.#placed };
    if (this.type === "ellipse") {
      const from = this.#pressed;
      if (from !== null && hover !== null && this.#placed.length === 0)
        return { shape: this.#box(from, hover, this.#held), placed: [] };
      const rim = hover === null ? this.#placed : [...this.#placed, hover];
      return { shape: rim.length >= RIM_POINTS ? this.around.fitEllipse(rim) : null, placed: this.#placed };
    }
    const base = this.#placed.length === 0 && this.#pressed !== null ? [this.#pressed] : this.#placed;
    const next = hover === null || base.length === 0 ? base : [...base, this.#stepped(hover, this.#held, base)];
    return { shape: this.#partial(next), placed: this.#placed };
  }

  #partial(points: readonly Point[]): Geometry | null {
    if (points.length === 0) return null;
    if (points.length === FIXED[this.type]) return this.#fixedShape(points);
    const [a, b, c] = points;
    if (this.type === "edges" && a !== undefined && b !== undefined && c !== undefined)
      return { type: "edges", points: [a, b, c, c] };
    return { type: "polyline", points };
  }

  #fixedShape(points: readonly Point[]): Geometry {
    return { type: this.type, points: [...points] } as Geometry;
  }

  #open(points: readonly Point[]): Geometry {
    return { type: this.type === "polygon" ? "polygon" : "polyline", points: [...points] };
  }

  /** Clicking the first point closes: a polygon by itself, a polyline by coming back to where it began. */
  #closed(): Geometry {
    const first = this.#placed[0];
    return this.#open(this.type === "polyline" && first !== undefined ? [...this.#placed, first] : this.#placed);
  }

  #endTrace(): Geometry | null {
    const tolerance = TRACE_TOLERANCE_PX / this.around.zoom;
    const traced = simplified(this.#trace ?? [], tolerance);
    this.#trace = null;
    if (this.#placed.length > 0) {
      this.#placed.push(...traced);
      return null;
    }
    const last = traced[traced.length - 1];
    const first = traced[0];
    const meets = first !== undefined && last !== undefined && traced.length > 3 && this.#near(first, last);
    const outline = this.type === "polygon" && meets ? traced.slice(0, -1) : traced;
    this.#placed = [...outline];
    // A stroke too straight for an outline stays as placed points, so that clicks can complete it.
    return outline.length >= (LEAST[this.type] ?? 2) ? this.#open(outline) : null;
  }

  #near(a: Point, b: Point): boolean {
    return apart(a, b) * this.around.zoom <= CLOSE_PX;
  }

  /** The box lies along the edges of the screen as the reader sees them, whatever the turn of the picture. */
  #box(from: Point, to: Point, held: Held): Geometry | null {
    const [w, h] = toStageStep({ turnDeg: this.around.turnDeg, zoom: 1 }, to[0] - from[0], to[1] - from[1]);
    const share = held.fromCentre ? 1 : 0.5;
    let rx = Math.abs(w) * share;
    let ry = Math.abs(h) * share;
    if (held.even) rx = ry = Math.max(rx, ry);
    if (rx < 0.5 || ry < 0.5) return null;
    const toCentre = held.fromCentre ? ([0, 0] as const) : ([Math.sign(w) * rx, Math.sign(h) * ry] as const);
    const [dx, dy] = toPhotoStep({ turnDeg: this.around.turnDeg, zoom: 1 }, toCentre[0], toCentre[1]);
    return {
      type: "ellipse",
      cx: from[0] + dx,
      cy: from[1] + dy,
      rx,
      ry,
      angle_deg: uprightAngle(-this.around.turnDeg),
    };
  }

  /** With `even`, the new piece lies on a multiple of 15° as seen on the stage. */
  #stepped(p: Point, held: Held, placed: readonly Point[] = this.#placed): Point {
    const last = placed[placed.length - 1];
    const startsLine = this.type === "edges" && placed.length % 2 === 0;
    if (!held.even || last === undefined || startsLine || this.type === "ellipse") return p;
    const turn = { turnDeg: this.around.turnDeg, zoom: 1 };
    const [x, y] = toStageStep(turn, p[0] - last[0], p[1] - last[1]);
    const step = (STEP_DEG * Math.PI) / 180;
    const direction = Math.round(Math.atan2(y, x) / step) * step;
    const length = x * Math.cos(direction) + y * Math.sin(direction);
    const [dx, dy] = toPhotoStep(turn, length * Math.cos(direction), length * Math.sin(direction));
    return [last[0] + dx, last[1] + dy];
  }
}

const apart = (a: Point, b: Point): number => Math.hypot(a[0] - b[0], a[1] - b[1]);
