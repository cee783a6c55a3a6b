import type { Geometry, GeometryType, Point } from "../break/geometry.ts";
import type { Mark } from "../break/wire-break.ts";
import type { ViewKind } from "../evidence/features.ts";
import type { MarkPlacing, MeasureChoice } from "./measure.ts";
import type { MarkSheet } from "./mark-sheet.ts";
import { MeasureError } from "./measure-error.ts";
import { between, component, componentAcross, distance, lineAngle, magnitude, placed, zoneOf } from "./plane.ts";
import type { PlacedPoint, Zone } from "./plane.ts";
import { over, scaled } from "./uncertain.ts";
import type { Quantity } from "./uncertain.ts";
import type { WireFrame } from "./wire-frame.ts";

/** A drawn mark on its photograph, with the wire as that photograph shows it. */
export interface MarkCase {
  readonly mark: Mark;
  readonly geometry: Geometry;
  readonly photograph: NonNullable<MarkPlacing["photograph"]>;
  readonly kind: ViewKind;
  readonly frame: WireFrame;
  readonly placingPx: number;
  /** As asked for; other photographs of the end are read by it too. */
  readonly choice: MeasureChoice;
  readonly on: MarkPlacing;
  /** Present marks of the same feature drawn on the same photograph, this one among them. */
  readonly group: readonly Mark[];
  readonly sheet: MarkSheet;
}

const MISSING_WIRE = "Mark the wire outline on this photograph, or set its scale and the wire diameter.";
const MISSING_CENTRE = "Mark the wire outline on this photograph: the centre comes from it.";
const MISSING_AXIS = "Mark both edges of the wire on this photograph, or set its wire axis.";
const MISSING_LINE = "Mark both edges of the wire on this photograph: the centre line comes from them.";

function need<T>(value: T | null, sentence: string): T {
  if (value === null) throw new MeasureError("wire-missing", sentence);
  return value;
}

export const needDiameter = (c: MarkCase): Quantity => need(c.frame.diameterPx, MISSING_WIRE);
export const needArea = (c: MarkCase): Quantity => need(c.frame.areaPx, MISSING_WIRE);
export const needCentre = (c: MarkCase): PlacedPoint => need(c.frame.centre, MISSING_CENTRE);
export const needAxis = (c: MarkCase): Quantity => need(c.frame.axisDeg, MISSING_AXIS);
export const needCentreLine = (c: MarkCase): PlacedPoint => need(c.frame.centreLine, MISSING_LINE);

/** A length in px as a multiple of the wire diameter. */
export const inDiameters = (c: MarkCase, px: Quantity): Quantity => over(px, needDiameter(c));
/** A length in px as a multiple of the wire radius. */
export const inRadii = (c: MarkCase, px: Quantity): Quantity => scaled(inDiameters(c, px), 2);

/** Sentence part naming where D came from. */
export const withD = (c: MarkCase): string => (c.frame.diameterFrom === "" ? "" : `; D from ${c.frame.diameterFrom}`);

/** Clicked points of this mark, or of another of its group. */
export const pointsOf = (c: MarkCase, points: readonly Point[], mark: Mark = c.mark): readonly PlacedPoint[] =>
  points.map((p, i) => placed(`${mark.id}.${i}`, p, c.placingPx));

/** The points of a mark drawn as line, polyline, polygon, point or angle; empty for an ellipse. */
export const pointList = (geometry: Geometry): readonly Point[] => (geometry.type === "ellipse" ? [] : geometry.points);

/** @throws MeasureError `degenerate-geometry` when the mark is not a closed shape. */
export function needZone(c: MarkCase): Zone {
  const { geometry } = c;
  if (geometry.type !== "polygon" && geometry.type !== "ellipse") throw wrongShape("a closed outline");
  return zoneOf(c.mark.id, geometry, c.placingPx);
}

/** Arm, vertex, arm. @throws MeasureError `degenerate-geometry` when the mark is not an angle. */
export function needAngle(c: MarkCase): readonly [PlacedPoint, PlacedPoint, PlacedPoint] {
  const [a, vertex, b] = pointsOf(c, pointList(c.geometry));
  if (c.geometry.type !== "angle" || !a || !vertex || !b) throw wrongShape("an angle: arm, tip, arm");
  return [a, vertex, b];
}

/** @throws MeasureError `degenerate-geometry` when the mark is not a line of two or more points. */
export function needPath(c: MarkCase): readonly [PlacedPoint, PlacedPoint, ...PlacedPoint[]] {
  const [a, b, ...rest] = pointsOf(c, pointList(c.geometry));
  const lines: readonly GeometryType[] = ["line", "polyline"];
  if (!lines.includes(c.geometry.type) || !a || !b) throw wrongShape("a line");
  return [a, b, ...rest];
}

const wrongShape = (wanted: string) =>
  new MeasureError("degenerate-geometry", `This measure needs ${wanted}. Draw the mark in that shape.`);

/** Distance of a point from the axis: from the centre end-on, from the centre line in a side view, px. */
export function distanceFromAxis(c: MarkCase, point: PlacedPoint): Quantity {
  if (c.kind === "E" || c.kind === "T") return distance(needCentre(c), point);
  return magnitude(componentAcross(between(needCentreLine(c), point), needAxis(c)));
}

/** Angle of a line to the wire axis, 0–90°. */
export const angleToAxis = (c: MarkCase, directionDeg: Quantity): Quantity => lineAngle(directionDeg, needAxis(c));

/** Length of a vector along the wire, px, not signed. */
export const alongWire = (c: MarkCase, from: PlacedPoint, to: PlacedPoint): Quantity =>
  magnitude(component(between(from, to), needAxis(c)));
