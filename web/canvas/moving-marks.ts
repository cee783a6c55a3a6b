import { toStage, type Frame } from "./transform.ts";
import type { Painting } from "./live-painter.ts";

/** How much larger than the stage the picture of the marks is, so that a pan does not run out of it at once. */
const MARGIN = 1.5;
/** A picture of lines is shown at most so much smaller or larger than it was drawn. */
const LEAST_STRETCH = 0.6;
const MOST_STRETCH = 1.7;

/**
 * Many marks while the view moves: stroked once into a picture, which is then moved and stretched with the view, and
 * stroked anew only when the view leaves it. Lines grow or shrink a little meanwhile and are drawn true at rest.
 */
export class MovingMarks {
  #taken: { readonly canvas: HTMLCanvasElement; readonly frame: Frame } | null = null;

  /** Throws the picture away; due whenever the marks change or the view comes to rest. */
  forget(): void {
    this.#taken = null;
  }

  /** @param pixelRatio – device pixels per stage pixel. */
  paint(ctx: CanvasRenderingContext2D, frame: Frame, pixelRatio: number, lines: Painting): void {
    const taken = this.#taken !== null && covers(this.#taken.frame, frame) ? this.#taken : this.#take(frame, pixelRatio, lines); // prettier-ignore
    if (taken === null) {
      lines(ctx, frame);
      return;
    }
    const stretch = frame.zoom / taken.frame.zoom;
    const [x, y] = toStage(frame, taken.frame.centre);
    const width = taken.frame.widthPx * stretch;
    const height = taken.frame.heightPx * stretch;
    ctx.drawImage(taken.canvas, x - width / 2, y - height / 2, width, height);
  }

  #take(frame: Frame, pixelRatio: number, lines: Painting) {
    const wide: Frame = {
      ...frame,
      widthPx: Math.ceil(frame.widthPx * MARGIN),
      heightPx: Math.ceil(frame.heightPx * MARGIN),
    };
    // Never put on the page: it is only a place to draw.
    const canvas = document.createElement("canvas");
    canvas.width = wide.widthPx * pixelRatio;
    canvas.height = wide.heightPx * pixelRatio;
    const ctx = canvas.getContext("2d");
    if (ctx === null) return null;
    ctx.scale(pixelRatio, pixelRatio);
    lines(ctx, wide);
    this.#taken = { canvas, frame: wide };
    return this.#taken;
  }
}

/** True while the picture taken in one frame fills the stage in another. */
export function covers(taken: Frame, frame: Frame): boolean {
  const stretch = frame.zoom / taken.zoom;
  if (taken.turnDeg !== frame.turnDeg || stretch < LEAST_STRETCH || stretch > MOST_STRETCH) return false;
  const [x, y] = toStage(frame, taken.centre);
  const halfWidth = (taken.widthPx / 2) * stretch;
  const halfHeight = (taken.heightPx / 2) * stretch;
  return (
    x - halfWidth <= 0 && x + halfWidth >= frame.widthPx && y - halfHeight <= 0 && y + halfHeight >= frame.heightPx
  );
}
