import type { Geometry, GeometryType, Point } from "../../model/break/geometry.ts";
import type { MarkState } from "../../model/evidence/observations.ts";
import type { View } from "./transform.ts";

export type { View } from "./transform.ts";

/** How much a mark asks for attention; the meaning is also carried by line, glyph and words. */
export type Tone = "plain" | "selected" | "proposal" | "dim";

/** A mark as the canvas needs it. */
export interface DrawnMark {
  readonly id: string;
  readonly geometry: Geometry;
  /** SVG path data on a 16 × 16 grid, stroked (see `glyphs.ts`); null draws none. */
  readonly glyph: string | null;
  /** Name of the feature. */
  readonly label: string;
  /** Live measure with unit and uncertainty, or null. */
  readonly measureText: string | null;
  readonly tone: Tone;
  readonly state: MarkState;
  /** False: named only while selected or pointed at, because another mark of its kind carries the name. Default true. */
  readonly named?: boolean;
}

/**
 * One photograph, decoded. The stage draws from it and never closes it: the caller made the bitmaps and
 * closes them after `setPicture(null)`, `setPicture(other)` or `destroy()`.
 */
export interface Picture {
  /** Finest first; each next level about half the size of the one before. All show the whole upright picture. */
  readonly levels: readonly ImageBitmap[];
  /** Size of the upright photograph. `levels[0]` may be smaller than this; marks always use these pixels. */
  readonly widthPx: number;
  readonly heightPx: number;
}

/** What is being drawn next. */
export interface Tool {
  readonly geometry: GeometryType;
  /** Name of the feature, shown beside the preview and spoken. */
  readonly label: string;
}

/** The wire axis: any two different points on it, the second nearer to the break. */
export type AxisLine = readonly [Point, Point];

export interface ScaleBar {
  /** Photograph pixels per millimetre. */
  readonly pxPerMm: number;
  readonly unit: "mm" | "in";
}

export type EllipseGeometry = Extract<Geometry, { type: "ellipse" }>;

/** Why the view changed: by the reader's hand, by `fit()`, or because the window changed size. */
export type ViewCause = "reader" | "fit" | "resize";

/** "screen": stage pixels along the screen; "photograph": photograph pixels, in the direction seen on the screen. */
export type StepUnit = "screen" | "photograph";

export interface EndStageCallbacks {
  /** One finished gesture, one geometry. */
  onDrawn(geometry: Geometry): void;
  /** A drag or key press on the selected mark ended. The new shape stays shown until the next `setMarks`. */
  onReshaped(markId: string, geometry: Geometry): void;
  /** The reader picked another mark, or none. Not called for `setSelection`. */
  onSelect(id: string | null): void;
  /** Not called for assignments to `view`, so two stages that follow each other cannot chase one another. */
  onView?(view: View, cause: ViewCause): void;
  /** Pointer or keyboard cursor over the photograph, photograph pixels; null when it left. */
  onCursor?(point: Point | null): void;
  /** Escape: `discarded` is true when an unfinished shape or drag was thrown away, false when there was none. */
  onCancel?(discarded: boolean): void;
  /** Shape while it is drawn (`markId` null) or reshaped, for live measures; (null, null) when the gesture ends. */
  onPreview?(markId: string | null, geometry: Geometry | null): void;
  /** A sentence for an aria-live region. */
  onSay?(text: string): void;
  /**
   * Ellipse through five or more points of a rim, photograph pixels.
   * @returns null when no ellipse fits them.
   */
  fitEllipse(points: readonly Point[]): EllipseGeometry | null;
}

export interface EndStageOptions {
  /** Accessible name, e.g. "Machine end, end-on view". */
  readonly label: string;
  /** How to work it by keyboard; a plain default is used when left out. */
  readonly instructions?: string;
  /** Device pixels per CSS pixel; follows the window when left out. */
  readonly pixelRatio?: number;
}

/** The keyboard cursor, also for keys bound by a screen. */
export interface StageCursor {
  /** Where it is, photograph pixels; null until it was first used. */
  readonly at: Point | null;
  move(dx: number, dy: number, unit: StepUnit): void;
  /** With a tool: places a point. Without: selects the mark under the cursor. */
  place(): void;
}

/** What a screen may ask of the canvas; `EndStage` is it. */
export interface EndStageApi {
  view: View;
  readonly cursor: StageCursor;
  readonly selection: string | null;
  setPicture(picture: Picture | null): void;
  /** Display turn, degrees clockwise, any angle. */
  setTurn(deg: number): void;
  setMarks(marks: readonly DrawnMark[]): void;
  setSelection(id: string | null): void;
  /** Puts a tool in hand, or none. An unfinished shape is discarded. */
  setTool(tool: Tool | null): void;
  /** False: look only; nothing can be drawn or reshaped (another tab writes). */
  setEditable(editable: boolean): void;
  setAxis(line: AxisLine | null): void;
  setScaleBar(bar: ScaleBar | null): void;
  setLabel(label: string): void;
  fit(): void;
  /** `at` in stage pixels; the middle when left out. */
  zoomBy(factor: number, at?: readonly [number, number]): void;
  /** Moves the picture by stage pixels. */
  panBy(dx: number, dy: number): void;
  /** Moves the selected mark, or its focused handle, and commits once. False when there is nothing to move. */
  nudge(dx: number, dy: number, unit: StepUnit): boolean;
  /** Moves the focus among the handles of the selected mark: +1 next, −1 previous. */
  stepHandle(direction: 1 | -1): void;
  /** Ends a shape of several points. False when there is none or it still lacks points. */
  finish(): boolean;
  /** Takes the last placed point back. False when there is none. */
  takeBack(): boolean;
  /** Discards an unfinished shape or drag. True when there was one. */
  cancel(): boolean;
  focus(): void;
  /** Removes everything the stage made. The bitmaps stay the caller's. */
  destroy(): void;
}
