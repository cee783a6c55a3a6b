import { onTestFinished } from "vitest";
import type { Geometry, Point } from "../../model/break/geometry.ts";
import { EndStage } from "../../web/canvas/end-stage.ts";
import type { DrawnMark, EllipseGeometry, View, ViewCause } from "../../web/canvas/types.ts";

export const WIDTH = 400;
export const HEIGHT = 300;
export const PICTURE = { widthPx: 2400, heightPx: 1600 };

/** What a stage said to its caller, in order. */
export interface Heard {
  readonly drawn: Geometry[];
  readonly reshaped: [string, Geometry][];
  readonly selected: (string | null)[];
  readonly views: [View, ViewCause][];
  readonly cursors: (Point | null)[];
  readonly cancels: boolean[];
  readonly previews: [string | null, Geometry | null][];
  readonly said: string[];
  readonly fitted: (readonly Point[])[];
}

export interface Bench {
  readonly stage: EndStage;
  readonly container: HTMLDivElement;
  readonly heard: Heard;
  readonly hand: Hand;
}

/** An even picture with a red square of 100 px whose upper left corner is at (1200, 800). */
export async function redSquarePicture(): Promise<ImageBitmap> {
  const canvas = new OffscreenCanvas(PICTURE.widthPx, PICTURE.heightPx);
  const ctx = canvas.getContext("2d");
  if (ctx === null) throw new Error("This browser has no 2d canvas.");
  ctx.fillStyle = "#808080";
  ctx.fillRect(0, 0, PICTURE.widthPx, PICTURE.heightPx);
  ctx.fillStyle = "#ff0000";
  ctx.fillRect(1200, 800, 100, 100);
  return createImageBitmap(canvas);
}

/** A stage of 400 × 300 px on the page; gone when the test ends. The ellipse "fit" here is the mean and a fixed size. */
export function makeBench(options: { readonly pixelRatio?: number } = {}): Bench {
  const container = document.createElement("div");
  container.style.cssText = `position:absolute;left:7px;top:11px;width:${WIDTH}px;height:${HEIGHT}px`;
  document.body.append(container);
  const heard: Heard = { drawn: [], reshaped: [], selected: [], views: [], cursors: [], cancels: [], previews: [], said: [], fitted: [] }; // prettier-ignore
  const stage = new EndStage(
    container,
    {
      onDrawn: (g) => heard.drawn.push(g),
      onReshaped: (id, g) => heard.reshaped.push([id, g]),
      onSelect: (id) => heard.selected.push(id),
      onView: (v, cause) => heard.views.push([v, cause]),
      onCursor: (p) => heard.cursors.push(p),
      onCancel: (discarded) => heard.cancels.push(discarded),
      onPreview: (id, g) => heard.previews.push([id, g]),
      onSay: (text) => heard.said.push(text),
      fitEllipse: (points): EllipseGeometry => {
        heard.fitted.push(points);
        const n = points.length;
        const cx = points.reduce((s, p) => s + p[0], 0) / n;
        const cy = points.reduce((s, p) => s + p[1], 0) / n;
        return { type: "ellipse", cx, cy, rx: 50, ry: 40, angle_deg: 0 };
      },
    },
    { label: "Machine end, end-on view", ...options },
  );
  onTestFinished(() => {
    stage.destroy();
    container.remove();
  });
  return { stage, container, heard, hand: new Hand(stage, container) };
}

export interface Aim {
  readonly zoom: number;
  readonly turnDeg: number;
  readonly centre?: Point;
}

/** Shows a place of the photograph in the middle at a zoom and a turn. */
export function aim(bench: Bench, { zoom, turnDeg, centre = [1200, 800] }: Aim): void {
  bench.stage.setTurn(turnDeg);
  bench.stage.view = { centre, zoom };
  bench.hand.turnDeg = turnDeg;
}

interface Extra {
  readonly shiftKey?: boolean;
  readonly altKey?: boolean;
  readonly pointerType?: string;
  readonly pointerId?: number;
  readonly button?: number;
}

/** A hand that points at places of the photograph. Its sums are its own, so that they check those of the stage. */
export class Hand {
  turnDeg = 0;

  constructor(
    readonly stage: EndStage,
    readonly container: HTMLDivElement,
  ) {}

  /** Client coordinates of a place: turned clockwise about the middle of the view, stretched, moved to the middle. */
  client([x, y]: Point): { clientX: number; clientY: number } {
    const { centre, zoom } = this.stage.view;
    const a = (this.turnDeg * Math.PI) / 180;
    const dx = (x - centre[0]) * zoom;
    const dy = (y - centre[1]) * zoom;
    const box = this.container.getBoundingClientRect();
    return {
      clientX: box.left + WIDTH / 2 + dx * Math.cos(a) - dy * Math.sin(a),
      clientY: box.top + HEIGHT / 2 + dx * Math.sin(a) + dy * Math.cos(a),
    };
  }

  down(p: Point, extra: Extra = {}): void {
    this.#send("pointerdown", p, 1, extra);
  }

  move(p: Point, extra: Extra = {}): void {
    this.#send("pointermove", p, 1, extra);
  }

  up(p: Point, extra: Extra = {}): void {
    this.#send("pointerup", p, 0, extra);
  }

  click(p: Point, extra: Extra = {}): void {
    this.down(p, extra);
    this.up(p, extra);
  }

  drag(from: Point, to: Point, extra: Extra = {}, steps = 4): void {
    this.down(from, extra);
    for (let i = 1; i <= steps; i++) {
      const t = i / steps;
      this.move([from[0] + (to[0] - from[0]) * t, from[1] + (to[1] - from[1]) * t], extra);
    }
    this.up(to, extra);
  }

  wheel(p: Point, deltaY: number): void {
    this.container.dispatchEvent(
      new WheelEvent("wheel", { deltaY, bubbles: true, cancelable: true, ...this.client(p) }),
    );
  }

  /** Presses and lets go a key on the focused container. @returns true when the stage took it. */
  key(key: string, extra: { shiftKey?: boolean; altKey?: boolean; ctrlKey?: boolean } = {}): boolean {
    if (document.activeElement !== this.container) this.container.focus();
    const event = new KeyboardEvent("keydown", { key, bubbles: true, cancelable: true, ...extra });
    this.container.dispatchEvent(event);
    this.container.dispatchEvent(new KeyboardEvent("keyup", { key, bubbles: true, cancelable: true, ...extra }));
    return event.defaultPrevented;
  }

  #send(type: string, p: Point, buttons: number, extra: Extra): void {
    const { pointerType = "mouse", pointerId = 1, button = 0, ...keys } = extra;
    this.container.dispatchEvent(
      new PointerEvent(type, {
        bubbles: true,
        cancelable: true,
        isPrimary: pointerId === 1,
        pointerType,
        pointerId,
        button,
        buttons,
        ...keys,
        ...this.client(p),
      }),
    );
  }
}

export const mark = (id: string, geometry: Geometry, more: Partial<DrawnMark> = {}): DrawnMark => ({
  id,
  geometry,
  glyph: null,
  label: `mark ${id}`,
  measureText: null,
  tone: "plain",
  state: "present",
  ...more,
});

/** Waits until what was asked to be drawn is drawn. */
export const nextFrame = (): Promise<void> =>
  new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(() => done())));

/** All numbers of a geometry in order, for tolerant comparison. */
export const numbersOf = (g: Geometry): number[] =>
  g.type === "ellipse" ? [g.cx, g.cy, g.rx, g.ry, g.angle_deg] : g.points.flatMap((p) => [...p]);
