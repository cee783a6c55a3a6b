import sharp from "sharp";
import type { Geometry, Point } from "../../model/break/geometry.ts";
import type { End, Mark, Photograph, WireBreak } from "../../model/break/wire-break.ts";
import { END_SIDES } from "../../model/break/wire-break.ts";
import type { Raster } from "../../model/picture/pixels/grey.ts";

/** Another photograph of the same end: turned about its middle, mirrored, smaller, under other light and exposure. */
export interface Motion {
  readonly name: string;
  /** Clockwise, degrees. */
  readonly turnDeg: number;
  readonly mirrored: boolean;
  readonly scale: number;
  /** Factors on linear red, green and blue. */
  readonly light: readonly [number, number, number];
  readonly swapEnds: boolean;
}

export const STILL: Omit<Motion, "name"> = { turnDeg: 0, mirrored: false, scale: 1, light: [1, 1, 1], swapEnds: false };

export const MOTIONS: readonly Motion[] = [
  { ...STILL, name: "ends swapped", swapEnds: true },
  { ...STILL, name: "turned by 37°", turnDeg: 37 },
  { ...STILL, name: "turned by 90°", turnDeg: 90 },
  { ...STILL, name: "mirrored", mirrored: true },
  { ...STILL, name: "three quarters of the size", scale: 0.75 },
  { ...STILL, name: "a third darker", light: [0.67, 0.67, 0.67] },
  { ...STILL, name: "a little warmer", light: [1.04, 1, 0.96] },
];

/** A place of the picture before the motion → after it. */
type Move = (p: Point) => Point;

interface Moved {
  readonly raster: Raster;
  readonly move: Move;
}

/** Ground around a turned picture goes on as its nearest pixel, so that no new edge appears. */
export async function movedPicture(raster: Raster, motion: Motion): Promise<Moved> {
  const { widthPx: w, heightPx: h } = raster;
  const a = (motion.turnDeg * Math.PI) / 180;
  const [cos, sin] = [Math.cos(a) * motion.scale, Math.sin(a) * motion.scale];
  const flip = motion.mirrored ? -1 : 1;
  const widthPx = Math.round(Math.abs(cos) * w + Math.abs(sin) * h);
  const heightPx = Math.round(Math.abs(sin) * w + Math.abs(cos) * h);
  const move: Move = ([x, y]) => {
    const [u, v] = [flip * (x - w / 2), y - h / 2];
    return [widthPx / 2 + cos * u - sin * v, heightPx / 2 + sin * u + cos * v];
  };
  const still = motion.turnDeg === 0 && !motion.mirrored && motion.light.every((f) => f === 1);
  if (still && motion.scale === 1) return { raster, move };
  if (still) {
    // Making smaller takes means, as a camera or the bench does.
    const data = await sharp(Buffer.from(raster.rgba), { raw: { width: w, height: h, channels: 4 } })
      .resize({ width: widthPx, height: heightPx, fit: "fill" })
      .raw()
      .toBuffer();
    return { raster: { widthPx, heightPx, rgba: data }, move };
  }
  const lit = motion.light.map((f) => Uint8Array.from({ length: 256 }, (_, v) => relit(v, f)));
  const rgba = new Uint8Array(widthPx * heightPx * 4);
  const k = 1 / (motion.scale * motion.scale);
  for (let y = 0; y < heightPx; y++)
    for (let x = 0; x < widthPx; x++) {
      const [dx, dy] = [x + 0.5 - widthPx / 2, y + 0.5 - heightPx / 2];
      const u = flip * k * (cos * dx + sin * dy) + w / 2 - 0.5;
      const v = k * (-sin * dx + cos * dy) + h / 2 - 0.5;
      sample(raster, u, v, lit, rgba, 4 * (y * widthPx + x));
    }
  return { raster: { widthPx, heightPx, rgba }, move };
}

function relit(v: number, factor: number): number {
  const c = v / 255;
  const linear = factor * (c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4);
  return Math.round(255 * Math.min(1, linear <= 0.0031308 ? 12.92 * linear : 1.055 * linear ** (1 / 2.4) - 0.055));
}

function sample(
  { widthPx: w, heightPx: h, rgba }: Raster,
  u: number,
  v: number,
  lit: readonly Uint8Array[],
  out: Uint8Array,
  to: number,
): void {
  const x = Math.max(0, Math.min(w - 1.001, u));
  const y = Math.max(0, Math.min(h - 1.001, v));
  const [x0, y0] = [Math.floor(x), Math.floor(y)];
  const [fx, fy] = [x - x0, y - y0];
  const at = 4 * (y0 * w + x0);
  for (let c = 0; c < 3; c++) {
    const top = rgba[at + c]! * (1 - fx) + rgba[at + 4 + c]! * fx;
    const low = rgba[at + 4 * w + c]! * (1 - fx) + rgba[at + 4 * w + 4 + c]! * fx;
    out[to + c] = lit[c]![Math.round(top * (1 - fy) + low * fy)]!;
  }
  out[to + 3] = 255;
}

/** The record of the moved break: its marks on the moved pictures. @param moved – by photograph. */
export function movedRecord(wireBreak: WireBreak, moved: ReadonlyMap<string, Moved>, motion: Motion): WireBreak {
  const ends = { ...wireBreak.ends };
  for (const side of END_SIDES) ends[side] = movedEnd(wireBreak.ends[side], moved, motion);
  return { ...wireBreak, ends: motion.swapEnds ? { machine: ends.takeUp, takeUp: ends.machine } : ends };
}

const movedEnd = (end: End, moved: ReadonlyMap<string, Moved>, motion: Motion): End => ({
  ...end,
  photographs: end.photographs.map((p): Photograph => {
    const { raster } = moved.get(p.id)!;
    const scale =
      p.scale?.method === "stated"
        ? { ...p.scale, pxPerMm: { value: p.scale.pxPerMm.value * motion.scale, u: 0 } }
        : p.scale;
    return { ...p, widthPx: raster.widthPx, heightPx: raster.heightPx, scale };
  }),
  marks: end.marks.map((mark): Mark => {
    const picture = mark.photographId === null ? undefined : moved.get(mark.photographId);
    return picture === undefined || mark.geometry === null
      ? mark
      : { ...mark, geometry: movedGeometry(mark.geometry, picture.move, motion) };
  }),
});

function movedGeometry(geometry: Geometry, move: Move, { scale, turnDeg, mirrored }: Motion): Geometry {
  if (geometry.type !== "ellipse") return { ...geometry, points: geometry.points.map(move) } as Geometry;
  const [cx, cy] = move([geometry.cx, geometry.cy]);
  const { rx, ry, angle_deg } = geometry;
  return {
    type: "ellipse",
    cx,
    cy,
    rx: rx * scale,
    ry: ry * scale,
    angle_deg: (mirrored ? -angle_deg : angle_deg) + turnDeg,
  };
}
