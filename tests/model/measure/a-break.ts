import type { Geometry, Point } from "../../../model/break/geometry.ts";
import { EMPTY_CONTEXT, EMPTY_END, newBreak } from "../../../model/break/new-break.ts";
import type { BreakContext, End, EndSide, Mark, Photograph, WireBreak } from "../../../model/break/wire-break.ts";
import type { FeatureId, ViewId } from "../../../model/evidence/features.ts";
import type { Measure, MeasureChoice } from "../../../model/measure/measure.ts";
import { measureMark } from "../../../model/measure/measures.ts";

/** A photograph 2000 px wide, so that one click is placed within 2 px. */
export const photograph = (id: string, view: ViewId, patch: Partial<Photograph> = {}): Photograph => ({
  id,
  hash: id.padEnd(64, "0"),
  fileName: `${id}.jpg`,
  mediaType: "image/jpeg",
  byteLength: 1,
  widthPx: 2000,
  heightPx: 1500,
  orientation: 1,
  capturedAt: null,
  view,
  turnDeg: 0,
  scale: null,
  axisDeg: null,
  rendered: false,
  ...patch,
});

let made = 0;
export const mark = (
  feature: FeatureId,
  photographId: string | null,
  geometry: Geometry | null,
  patch: Partial<Mark> = {},
): Mark => ({
  id: `${feature}-${made++}`,
  feature,
  state: "present",
  photographId,
  geometry,
  given: {},
  note: "",
  by: "A. Reader",
  at: "2026-01-01T00:00:00Z",
  ...patch,
});

export const endWith = (photographs: readonly Photograph[], marks: readonly Mark[], patch: Partial<End> = {}): End => ({
  ...EMPTY_END,
  recovery: "recovered",
  photographs,
  marks,
  ...patch,
});

export const breakWith = (
  ends: Partial<Record<EndSide, End>>,
  context: Partial<BreakContext> = {},
  patch: Partial<WireBreak> = {},
): WireBreak => ({
  ...newBreak("break-1", "B-1", "2026-01-01T00:00:00Z"),
  ends: { machine: ends.machine ?? EMPTY_END, takeUp: ends.takeUp ?? EMPTY_END },
  context: { ...EMPTY_CONTEXT, ...context },
  ...patch,
});

/** Measures of the first mark of a feature on one end. */
export function readMark(wireBreak: WireBreak, feature: FeatureId, side: EndSide = "machine", choice?: MeasureChoice) {
  const end = wireBreak.ends[side];
  const found = end.marks.find((m) => m.feature === feature);
  if (!found) throw new Error(`no ${feature}`);
  const own = end.photographs.find((p) => p.id === found.photographId) ?? null;
  const result = measureMark(found, { photograph: own, end, side, wireBreak }, choice);
  const get = (key: string): Measure | undefined => result.measures.find((m) => m.key === key);
  return {
    ...result,
    get,
    value: (key: string) => get(key)?.value,
    number: (key: string): number => {
      const value = get(key)?.value;
      if (typeof value !== "number")
        throw new Error(`${feature} has no number ${key}: ${JSON.stringify(result.absent)}`);
      return value;
    },
    u: (key: string): number | null | undefined => get(key)?.u,
    whyAbsent: (key: string) => result.absent.find((a) => a.key === key)?.code,
  };
}

export const point = (x: number, y: number): Geometry => ({ type: "point", points: [[x, y]] });
export const line = (a: Point, b: Point): Geometry => ({ type: "line", points: [a, b] });
export const polyline = (...points: Point[]): Geometry => ({ type: "polyline", points });
export const polygon = (...points: Point[]): Geometry => ({ type: "polygon", points });
export const angle = (a: Point, vertex: Point, b: Point): Geometry => ({ type: "angle", points: [a, vertex, b] });
export const circle = (cx: number, cy: number, r: number): Geometry => ({
  type: "ellipse",
  cx,
  cy,
  rx: r,
  ry: r,
  angle_deg: 0,
});
export const ellipse = (cx: number, cy: number, rx: number, ry: number, angle_deg = 0): Geometry => ({
  type: "ellipse",
  cx,
  cy,
  rx,
  ry,
  angle_deg,
});
export const edges = (a1: Point, a2: Point, b1: Point, b2: Point): Geometry => ({
  type: "edges",
  points: [a1, a2, b1, b2],
});
export const box = (x0: number, y0: number, x1: number, y1: number): Geometry =>
  polygon([x0, y0], [x1, y0], [x1, y1], [x0, y1]);

/** Closed polygon of a ring sector from inner to outer radius, angles in degrees from +x toward +y. */
export function sector(cx: number, cy: number, inner: number, outer: number, from: number, to: number): Geometry {
  const arc = (r: number, a: number, b: number): Point[] =>
    Array.from({ length: 91 }, (_, i) => {
      const t = ((a + ((b - a) * i) / 90) * Math.PI) / 180;
      return [cx + r * Math.cos(t), cy + r * Math.sin(t)];
    });
  return polygon(...arc(outer, from, to), ...arc(inner, to, from));
}

/** Side view of a wire 400 px thick along x: edges at y = 500 and 900, centre line y = 700. */
export const SIDE_EDGES = edges([100, 500], [900, 500], [100, 900], [900, 900]);
/** A stage micrometer line of 5 mm over 1000 px: 200 px per mm. */
export const MICROMETER_SCALE: Photograph["scale"] = {
  method: "drawn-length",
  lengthMm: { value: 5, u: 0.005 },
  a: [100, 100],
  b: [1100, 100],
  placingPx: 1,
  over: "stage-micrometer",
};

/** Uniform numbers from a seed, for repeatable Monte Carlo runs (mulberry32, public domain; from memory). */
export function seeded(seed: number): { uniform(): number; normal(): number } {
  let state = seed >>> 0;
  const uniform = (): number => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = state;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
  const normal = (): number => Math.sqrt(-2 * Math.log(1 - uniform())) * Math.cos(2 * Math.PI * uniform());
  return { uniform, normal };
}
