import { CORE_WHITE, HALO, LABEL_FONT_STRONG } from "./palette.ts";
import type { ScaleBar } from "./types.ts";

const MM_PER_INCH = 25.4; // Exact: the international inch is defined as 25.4 mm.
/** Longest bar on the stage, stage pixels. */
const LONGEST_PX = 200;
const EDGE_PX = 18;

/** A bar of a round length: 1, 2 or 5 times a power of ten of its unit. */
export interface RoundBar {
  readonly lengthPx: number;
  readonly text: string;
  /** Number of equal parts the bar is divided into. */
  readonly parts: number;
}

/** @param stagePxPerMm – stage pixels per millimetre on the object. */
export function roundBar(stagePxPerMm: number, unit: ScaleBar["unit"]): RoundBar {
  const pxPerUnit = unit === "in" ? stagePxPerMm * MM_PER_INCH : stagePxPerMm;
  const most = LONGEST_PX / pxPerUnit;
  const power = Math.floor(Math.log10(most));
  const lead = most / 10 ** power;
  const step = lead >= 5 ? 5 : lead >= 2 ? 2 : 1;
  const length = step * 10 ** power;
  const text =
    unit === "mm" && length < 0.1
      ? `${Number((length * 1000).toPrecision(1))} µm`
      : `${Number(length.toPrecision(1))} ${unit}`;
  return { lengthPx: length * pxPerUnit, text, parts: step === 2 ? 4 : 5 };
}

/** Draws the bar in the lower left corner, as if cut into glass: hairlines with ticks, no box. */
export function paintScaleBar(ctx: CanvasRenderingContext2D, heightPx: number, zoom: number, bar: ScaleBar): void {
  const round = roundBar(bar.pxPerMm * zoom, bar.unit);
  const x = EDGE_PX;
  const y = heightPx - EDGE_PX;
  const path = new Path2D();
  path.moveTo(x, y);
  path.lineTo(x + round.lengthPx, y);
  for (let i = 0; i <= round.parts; i++) {
    const at = x + (round.lengthPx * i) / round.parts;
    path.moveTo(at, y);
    path.lineTo(at, y - (i === 0 || i === round.parts ? 10 : 5));
  }
  ctx.save();
  ctx.lineCap = "square";
  ctx.font = LABEL_FONT_STRONG;
  ctx.textBaseline = "alphabetic";
  for (const [colour, width] of [
    [HALO, 4],
    [CORE_WHITE, 1.25],
  ] as const) {
    ctx.strokeStyle = colour;
    ctx.lineWidth = width;
    ctx.stroke(path);
  }
  ctx.lineJoin = "round";
  ctx.strokeStyle = HALO;
  ctx.lineWidth = 3.5;
  ctx.strokeText(round.text, x, y - 15);
  ctx.fillStyle = CORE_WHITE;
  ctx.fillText(round.text, x, y - 15);
  ctx.restore();
}
