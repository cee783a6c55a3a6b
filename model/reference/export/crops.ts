import type { Geometry, Point } from "../../break/geometry.ts";
import type { End, Mark, Photograph } from "../../break/wire-break.ts";
import type { FeatureId } from "../../evidence/features.ts";
import { soundWire, type EdgesGeometry, type SoundWire } from "../../picture/side-view/wire-strip.ts";
import { type SquareView, squareView } from "./crop-square.ts";

/** What a person decides about crops of the photographs. */
export interface CropOptions {
  /** Pixels of a crop to one wire diameter, a whole number of `CROP_PX`. */
  readonly pxPerDiameter: number;
}

/** Pixels to a diameter: least, most, proposed. @source our own choice, no source */
export const CROP_PX = { least: 64, most: 1024, proposed: 256 } as const;
export const isCropPx = (px: number): boolean => Number.isInteger(px) && px >= CROP_PX.least && px <= CROP_PX.most;

/** Side of an end-on crop and height of a side crop, and length of a side crop, wire diameters. */
export const CROP_HEIGHT_D = 1.25;
export const CROP_LENGTH_D = 2.5;
/** A side crop begins this far beyond the farthest mark of the broken end, wire diameters. */
export const CROP_BEYOND_D = 0.5;
/** A wire of fewer pixels says nothing about its face. @source our own choice, no source */
export const LEAST_DIAMETER_PX = 16;

/** Features that lie where the wire ends; their farthest point stands for the broken end. */
const OF_THE_END: readonly FeatureId[] = ["neck", "cone_apex", "cone_flank", "shear_lip", "fracture_plane"];

/**
 * A crop of a photograph. Lengths are px of the upright photograph, its y times `stretchY`, unless they say otherwise;
 * the corner is where the crop's first pixel begins, and its rows run along `turnDeg`.
 */
export interface CropFrame {
  readonly x: number;
  readonly y: number;
  /** Along the rows, and across them. They may reach outside the photograph. */
  readonly width: number;
  readonly height: number;
  /** Direction of the rows, degrees from +x toward +y; 0 = not turned. */
  readonly turnDeg: number;
  /** Size of the crop, its own px. */
  readonly outWidth: number;
  readonly outHeight: number;
  readonly pxPerDiameter: number;
  /** Wire diameter in the photograph. */
  readonly diameter: number;
  /** Factor on y of the photograph that makes its pixels square; 1 unless its scale differs along x and y. */
  readonly stretchY: number;
}

/** Why a photograph has no crop. */
export type NoCrop = "other-view" | "no-outline" | "outline-unfit" | "no-end" | "not-decoded";

/**
 * What is cropped from a photograph: end-on a square round the middle of the drawn outline, not turned; from the side
 * the broken end, turned so that the wire lies level with its break to the right. Both at `pxPerDiameter` exactly.
 *
 * @param end – the end the photograph shows; its marks say where the wire is and how large.
 */
export function cropOf(
  { marks }: Pick<End, "marks">,
  photograph: Photograph,
  { pxPerDiameter }: CropOptions,
): CropFrame | NoCrop {
  const wanted =
    photograph.view === "end_on" ? "ellipse" : /^side_(0|90)$/.test(photograph.view) ? "edges" : ("none" as const);
  if (wanted === "none") return "other-view";
  const square = squareView(marks, photograph);
  const here = square.marks.filter((m) => m.photographId === photograph.id && m.state === "present");
  const outline = here.find((m) => m.feature === "wire_outline" && m.geometry?.type === wanted)?.geometry;
  if (outline?.type === "ellipse") {
    const diameter = 2 * Math.sqrt(outline.rx * outline.ry);
    return framed([outline.cx, outline.cy], 0, diameter, CROP_HEIGHT_D, square, pxPerDiameter);
  }
  if (outline?.type !== "edges") return "no-outline";
  const wire = wireToBreak(outline, square);
  if (wire === null) return "outline-unfit";
  const tip = tipOf(wire, here);
  if (tip === null) return "no-end";
  const { origin, along, diameter } = wire;
  const middle = tip + (CROP_BEYOND_D - CROP_LENGTH_D / 2) * diameter;
  const centre: Point = [origin[0] + along[0] * middle, origin[1] + along[1] * middle];
  const turn = (Math.atan2(along[1], along[0]) * 180) / Math.PI;
  return framed(centre, turn, diameter, CROP_LENGTH_D, square, pxPerDiameter);
}

function framed(
  [cx, cy]: Point,
  turn: number,
  diameter: number,
  length: number,
  { widthPx, heightPx, stretchY }: SquareView,
  pxPerDiameter: number,
): CropFrame | NoCrop {
  const inside = cx >= 0 && cy >= 0 && cx <= widthPx && cy <= heightPx;
  if (!inside || !(diameter >= LEAST_DIAMETER_PX)) return "outline-unfit";
  const outWidth = Math.round(length * pxPerDiameter);
  const outHeight = Math.round(CROP_HEIGHT_D * pxPerDiameter);
  const step = diameter / pxPerDiameter;
  const turnDeg = thousandth(turn);
  const [ux, uy] = directionOf(turnDeg);
  const [right, down] = [(outWidth * step) / 2, (outHeight * step) / 2];
  return {
    x: thousandth(cx - ux * right + uy * down),
    y: thousandth(cy - uy * right - ux * down),
    width: thousandth(outWidth * step),
    height: thousandth(outHeight * step),
    turnDeg,
    outWidth,
    outHeight,
    pxPerDiameter,
    diameter: thousandth(diameter),
    stretchY,
  };
}

/** As the table states it, so that a crop can be made again from its line. */
const thousandth = (v: number): number => Math.round(v * 1000) / 1000 + 0;

/** Unit vector of the rows of a crop. */
export const directionOf = (turnDeg: number): Point => [
  Math.cos((turnDeg * Math.PI) / 180),
  Math.sin((turnDeg * Math.PI) / 180),
];

/** The wire with its direction toward the break: the one a person set, else the one that follows from the picture. */
function wireToBreak(edges: EdgesGeometry, { axisDeg, widthPx, heightPx }: SquareView): SoundWire | null {
  const wire = soundWire(edges, widthPx, heightPx);
  if (wire === null || axisDeg === null) return wire;
  const [sx, sy] = directionOf(axisDeg);
  if (sx * wire.along[0] + sy * wire.along[1] >= 0) return wire;
  // The edges end on both sides of their middle alike.
  const [cx, cy] = [0, 1].map((k) => edges.points.reduce((sum, p) => sum + p[k]!, 0) / 4) as [number, number];
  return {
    origin: [2 * cx - wire.origin[0], 2 * cy - wire.origin[1]],
    along: [-wire.along[0], -wire.along[1]],
    diameter: wire.diameter,
  };
}

/** How far the broken end lies beyond the drawn edges, px; null = nothing drawn says where the wire ends. */
function tipOf({ origin, along }: SoundWire, marks: readonly Mark[]): number | null {
  const far = marks
    .filter(({ feature }) => OF_THE_END.includes(feature))
    .flatMap(({ geometry }) => cornersOf(geometry))
    .map(([x, y]) => (x - origin[0]) * along[0] + (y - origin[1]) * along[1]);
  return far.length === 0 ? null : Math.max(...far);
}

const cornersOf = (geometry: Geometry | null): readonly Point[] =>
  geometry === null || geometry.type === "ellipse" ? [] : geometry.points;
