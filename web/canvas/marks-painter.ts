import type { Geometry, Point } from "../../model/break/geometry.ts";
import { MARK_STATES } from "../../model/evidence/observations.ts";
import { STATE_GLYPHS } from "./glyphs.ts";
import { isNearLabel, LABEL_HEIGHT, placeLabels, type LabelWish, type PlacedLabel } from "./labels.ts";
import { LABEL_FONT, LABEL_FONT_STRONG, LABEL_GROUND, LABEL_QUIET, LABEL_TEXT, TONE_LOOK } from "./palette.ts";
import { linesOf, paintLines, type Lines } from "./paint-lines.ts";
import { pick, pickable, type Pickable } from "./pick.ts";
import { toStage, type Frame, type StagePoint } from "./transform.ts";
import type { DrawnMark, Tone } from "./types.ts";

interface Prepared {
  readonly mark: DrawnMark;
  readonly lines: Lines;
  readonly pickable: Pickable;
}

const TONES: readonly Tone[] = ["dim", "plain", "proposal", "selected"];
const GLYPH_PX = 14;
const PAD = 6;

/**
 * The marks of one photograph: prepared once when they change, then drawn with two strokes per look, so that
 * hundreds cost little more than a few.
 */
export class MarksPainter {
  #prepared: readonly Prepared[] = [];
  #pickables: readonly Pickable[] = [];
  #shown: ReadonlyMap<string, Geometry> = new Map();
  readonly #widths = new Map<string, number>();
  readonly #glyphs = new Map<string, Path2D>();
  #labels: readonly PlacedLabel[] = [];

  setMarks(marks: readonly DrawnMark[]): void {
    this.#shown = new Map();
    // Screens give all marks again when one changes; the outlines of the others stay as they are.
    const before = new Map(this.#prepared.map((p) => [p.lines.geometry, p]));
    this.#setPrepared(
      marks.map((mark) => {
        const same = before.get(mark.geometry);
        return same?.mark.id === mark.id ? { ...same, mark } : this.#prepare(mark, mark.geometry);
      }),
    );
  }

  #setPrepared(prepared: readonly Prepared[]): void {
    this.#prepared = prepared;
    this.#pickables = prepared.map((p) => p.pickable);
  }

  get count(): number {
    return this.#prepared.length;
  }

  /** Shows a mark in another shape until the next `setMarks`; null shows it as it is recorded. */
  showAs(id: string, geometry: Geometry | null): void {
    const shown = new Map(this.#shown);
    if (geometry === null) shown.delete(id);
    else shown.set(id, geometry);
    this.#shown = shown;
    this.#setPrepared(
      this.#prepared.map((p) => (p.mark.id === id ? this.#prepare(p.mark, geometry ?? p.mark.geometry) : p)),
    );
  }

  has(id: string): boolean {
    return this.#prepared.some((p) => p.mark.id === id);
  }

  labelOf(id: string): string | null {
    return this.#prepared.find((p) => p.mark.id === id)?.mark.label ?? null;
  }

  /** The shape of a mark as it is shown now. */
  geometryOf(id: string): Geometry | null {
    return this.#prepared.find((p) => p.mark.id === id)?.lines.geometry ?? null;
  }

  pick(p: Point, reachPx: number): string | null {
    return pick(this.#pickables, p, reachPx);
  }

  /** True when a label of the last drawing lies where it would hide the pointer. */
  hasLabelNear(pointer: StagePoint): boolean {
    return this.#labels.some((label) => isNearLabel(pointer, label));
  }

  paintLines(ctx: CanvasRenderingContext2D, frame: Frame, selection: string | null): void {
    const toneOf = (m: DrawnMark): Tone => (m.id === selection ? "selected" : m.tone === "selected" ? "plain" : m.tone);
    for (const tone of TONES)
      for (const state of MARK_STATES) {
        const group = this.#prepared.filter(({ mark }) => toneOf(mark) === tone && mark.state === state);
        paintLines(
          ctx,
          frame,
          group.map((p) => p.lines),
          TONE_LOOK[tone],
          state,
        );
      }
  }

  /** Names and measures beside the marks. Dim marks show theirs only when selected or pointed at. */
  paintLabels(
    ctx: CanvasRenderingContext2D,
    frame: Frame,
    selection: string | null,
    pointed: string | null,
    pointer: StagePoint | null,
  ): void {
    const rank = ({ mark }: Prepared) => (mark.id === selection ? 0 : mark.id === pointed ? 1 : mark.tone === "proposal" ? 2 : 3); // prettier-ignore
    const wishes = this.#prepared
      .filter(
        ({ mark }) => (mark.tone !== "dim" && mark.named !== false) || mark.id === selection || mark.id === pointed,
      )
      .sort((a, b) => rank(a) - rank(b))
      .map((p) => this.#wish(ctx, frame, p, rank(p) < 2))
      .filter((w) => w !== null);
    this.#labels = placeLabels(wishes, frame, pointer);
    const byId = new Map(this.#prepared.map((p) => [p.mark.id, p.mark]));
    for (const label of this.#labels) {
      const mark = byId.get(label.id);
      if (mark !== undefined) this.#paintLabel(ctx, label, mark, mark.id === selection ? "selected" : mark.tone);
    }
  }

  #prepare(mark: DrawnMark, geometry: Geometry): Prepared {
    return { mark, lines: linesOf(geometry), pickable: pickable(mark.id, geometry) };
  }

  #wish(ctx: CanvasRenderingContext2D, frame: Frame, { mark, lines }: Prepared, must: boolean): LabelWish | null {
    const box = lines.bounds;
    if (box === null) return null;
    const corners = [
      toStage(frame, [box.minX, box.minY]),
      toStage(frame, [box.maxX, box.minY]),
      toStage(frame, [box.minX, box.maxY]),
      toStage(frame, [box.maxX, box.maxY]),
    ];
    const left = Math.min(...corners.map((c) => c[0]));
    const right = Math.max(...corners.map((c) => c[0]));
    const top = Math.min(...corners.map((c) => c[1]));
    const bottom = Math.max(...corners.map((c) => c[1]));
    if (right < 0 || bottom < 0 || left > frame.widthPx || top > frame.heightPx) return null;
    return { id: mark.id, left, right, top, bottom, width: this.#labelWidth(ctx, mark), must };
  }

  #labelWidth(ctx: CanvasRenderingContext2D, mark: DrawnMark): number {
    let width = 2 * PAD + this.#width(ctx, LABEL_FONT, mark.label);
    if (mark.glyph !== null) width += GLYPH_PX + 5;
    if (mark.state !== "present") width += GLYPH_PX + 5;
    if (mark.measureText !== null) width += 8 + this.#width(ctx, LABEL_FONT_STRONG, mark.measureText);
    return width;
  }

  #width(ctx: CanvasRenderingContext2D, font: string, text: string): number {
    const key = `${font}|${text}`;
    let width = this.#widths.get(key);
    if (width === undefined) {
      // Live measures make new texts at every movement; the store must not grow with them.
      if (this.#widths.size > 2000) this.#widths.clear();
      ctx.font = font;
      width = ctx.measureText(text).width;
      this.#widths.set(key, width);
    }
    return width;
  }

  #paintLabel(ctx: CanvasRenderingContext2D, at: PlacedLabel, mark: DrawnMark, tone: Tone): void {
    const accent = TONE_LOOK[tone].core;
    const middle = at.y + LABEL_HEIGHT / 2;
    ctx.save();
    ctx.fillStyle = LABEL_GROUND;
    ctx.fillRect(at.x, at.y, at.width, LABEL_HEIGHT);
    ctx.fillStyle = accent;
    ctx.fillRect(at.x, at.y, 2, LABEL_HEIGHT);
    ctx.textBaseline = "middle";
    let x = at.x + PAD;
    const glyphs = [mark.glyph, mark.state === "present" ? null : STATE_GLYPHS[mark.state]];
    for (const glyph of glyphs) {
      if (glyph === null) continue;
      this.#paintGlyph(ctx, glyph, x, middle - GLYPH_PX / 2, accent);
      x += GLYPH_PX + 5;
    }
    ctx.fillStyle = mark.tone === "dim" ? LABEL_QUIET : LABEL_TEXT;
    ctx.font = LABEL_FONT;
    ctx.fillText(mark.label, x, middle + 0.5);
    if (mark.measureText !== null) {
      x += this.#width(ctx, LABEL_FONT, mark.label) + 8;
      ctx.font = LABEL_FONT_STRONG;
      ctx.fillStyle = LABEL_TEXT;
      ctx.fillText(mark.measureText, x, middle + 0.5);
    }
    ctx.restore();
  }

  #paintGlyph(ctx: CanvasRenderingContext2D, data: string, x: number, y: number, colour: string): void {
    let path = this.#glyphs.get(data);
    if (path === undefined) {
      path = new Path2D(data);
      this.#glyphs.set(data, path);
    }
    ctx.save();
    ctx.translate(x, y);
    ctx.scale(GLYPH_PX / 16, GLYPH_PX / 16);
    ctx.strokeStyle = colour;
    ctx.lineWidth = 1.5;
    ctx.lineCap = "round";
    ctx.lineJoin = "round";
    ctx.stroke(path);
    ctx.restore();
  }
}
