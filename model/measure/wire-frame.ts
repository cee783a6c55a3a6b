import type { Geometry } from "../break/geometry.ts";
import type { End, Mark, Photograph, WireBreak } from "../break/wire-break.ts";
import { VIEW_KIND } from "../evidence/features.ts";
import type { MeasureChoice } from "./measure.ts";
import { MeasureError } from "./measure-error.ts";
import {
  between,
  componentAcross,
  direction,
  halfAxes,
  lineAngle,
  magnitude,
  middle,
  placed,
  placingUncertaintyPx,
  zoneOf,
} from "./plane.ts";
import type { PlacedPoint } from "./plane.ts";
import { knownDiameter, lengthInMm, scaleQuantity } from "./scale.ts";
import { directionDeg, plus, reading, scaled, squareRoot, standardUncertainty, times } from "./uncertain.ts";
import type { Quantity } from "./uncertain.ts";

/** How well a direction set by eye or by one control is known, degrees (k = 1). @source common practice, no source */
export const AXIS_U_DEG = 1;
/** Edges that open by more than this are not a sound length of wire. @source common practice, no source */
export const TAPER_WARN_DEG = 1;
/** Taken for a typed diameter that came without an uncertainty, relative. @source common practice, no source */
export const UNSTATED_DIAMETER_U = 0.005;
/** Nominal diameter: within 1 % either way, every value alike (÷ √3). @source common practice, no source */
export const NOMINAL_DIAMETER_U = 0.01 / Math.sqrt(3);

/** The two edges of the wire in a side view. */
export interface WireEdges {
  /** Direction of the wire, degrees from +x toward +y; not directed. */
  readonly axisDeg: Quantity;
  readonly diameterPx: Quantity;
  /** A point on the centre line. */
  readonly centre: PlacedPoint;
  readonly taperDeg: Quantity;
  /** Plain sentence when the edges are not parallel. */
  readonly warning: string | null;
}

/**
 * Axis, diameter and taper from two edges of the wire.
 *
 * The diameter is the distance of the middles of both edges across the mean direction.
 *
 * @throws MeasureError `degenerate-geometry`.
 */
export function wireFromEdges(
  name: string,
  points: Extract<Geometry, { type: "edges" }>["points"],
  placingPx: number,
): WireEdges {
  const [a1, a2, b1, b2] = points.map((p, i) => placed(`${name}.${i}`, p, placingPx));
  if (!a1 || !a2 || !b1 || !b2) throw new MeasureError("degenerate-geometry", "Draw both edges of the wire.");
  const first = between(a1, a2);
  const second = between(b1, b2);
  const same = first.x.value * second.x.value + first.y.value * second.y.value >= 0 ? 1 : -1;
  const axisDeg = directionDeg(plus(first.x, scaled(second.x, same)), plus(first.y, scaled(second.y, same)));
  const [midA, midB] = [middle(a1, a2), middle(b1, b2)];
  const diameterPx = magnitude(componentAcross(between(midA, midB), axisDeg));
  if (!(diameterPx.value > 0)) throw new MeasureError("degenerate-geometry", "The two edges lie on each other.");
  const taperDeg = lineAngle(direction(a1, a2), direction(b1, b2));
  const tapers = taperDeg.value > Math.max(TAPER_WARN_DEG, 2 * standardUncertainty(taperDeg));
  return {
    axisDeg,
    diameterPx,
    centre: middle(midA, midB),
    taperDeg,
    warning: tapers
      ? `The edges open by ${taperDeg.value.toFixed(1)}°: measure the wire away from the neck and from bulges.`
      : null,
  };
}

/** The wire as one photograph shows it. What is not known there is null. */
export interface WireFrame {
  readonly diameterPx: Quantity | null;
  /** Where the diameter came from, a plain sentence part; empty when there is none. */
  readonly diameterFrom: string;
  /** Section of the sound wire, px². */
  readonly areaPx: Quantity | null;
  /** Centre of the section (end-on and transverse views). */
  readonly centre: PlacedPoint | null;
  /** Direction of the wire (side views and longitudinal sections), degrees. */
  readonly axisDeg: Quantity | null;
  /** From the wire toward the break, degrees; null = not set. */
  readonly towardBreakDeg: number | null;
  /** A point on the centre line. */
  readonly centreLine: PlacedPoint | null;
  readonly warnings: readonly string[];
}

const EMPTY_FRAME: WireFrame = {
  diameterPx: null,
  diameterFrom: "",
  areaPx: null,
  centre: null,
  axisDeg: null,
  towardBreakDeg: null,
  centreLine: null,
  warnings: [],
};

/** The wire outlines drawn on a photograph, present ones only. */
export const outlinesOn = (end: End, photographId: string): readonly Mark[] =>
  end.marks.filter(
    (m) =>
      m.feature === "wire_outline" && m.state === "present" && m.photographId === photographId && m.geometry !== null,
  );

/**
 * Reads the wire on a photograph: its outline there first (the scale then cancels in every ratio), else a diameter in mm
 * known from elsewhere and this photograph's scale.
 */
export function wireFrame(
  end: End,
  photograph: Photograph,
  wireBreak: WireBreak,
  choice: MeasureChoice = {},
): WireFrame {
  const placingPx = choice.placingPx ?? placingUncertaintyPx(photograph.widthPx);
  const axis = photograph.axisDeg;
  const set = axis === null ? null : reading(`axis:${photograph.id}`, axis, AXIS_U_DEG);
  const base: WireFrame = { ...EMPTY_FRAME, axisDeg: set, towardBreakDeg: axis };
  for (const outline of outlinesOn(end, photograph.id)) {
    const drawn = outline.geometry === null ? null : fromOutline(outline.id, outline.geometry, placingPx);
    if (drawn !== null) return { ...base, ...drawn, axisDeg: drawn.axisDeg ?? base.axisDeg };
  }
  const scale = scaleQuantity(photograph.scale, photograph.id);
  const known = scale === null ? null : wireDiameterMm(end, wireBreak, photograph.id, choice.placingPx);
  if (scale === null || known === null) return base;
  const diameterPx = times(known.diameterMm, scale);
  return {
    ...base,
    diameterPx,
    diameterFrom: `${known.from} and the scale of this photograph`,
    areaPx: scaled(times(diameterPx, diameterPx), Math.PI / 4),
  };
}

function fromOutline(name: string, geometry: Geometry, placingPx: number): WireFrame | null {
  try {
    if (geometry.type === "ellipse") {
      const [rx, ry] = halfAxes(name, geometry, placingPx);
      const { area, centre } = zoneOf(name, geometry, placingPx);
      const diameterPx = scaled(squareRoot(times(rx, ry)), 2);
      return { ...EMPTY_FRAME, diameterPx, diameterFrom: "the outline on this photograph", areaPx: area, centre };
    }
    if (geometry.type !== "edges") return null;
    const edges = wireFromEdges(name, geometry.points, placingPx);
    return {
      ...EMPTY_FRAME,
      diameterPx: edges.diameterPx,
      diameterFrom: "the edges on this photograph",
      areaPx: scaled(times(edges.diameterPx, edges.diameterPx), Math.PI / 4),
      axisDeg: edges.axisDeg,
      centreLine: edges.centre,
      warnings: edges.warning === null ? [] : [edges.warning],
    };
  } catch (error) {
    if (error instanceof MeasureError) return null;
    throw error;
  }
}

export interface KnownDiameter {
  readonly diameterMm: Quantity;
  readonly from: string;
  readonly source: "outline" | "given" | "measured" | "nominal";
}

/**
 * Wire diameter of an end in mm, best source first: an outline at a scale, a typed diameter of the outline,
 * the measured diameter, the nominal diameter.
 *
 * @param except – photograph to leave out. @param placingPx – of one click; default see `placingUncertaintyPx`.
 * @returns null when nothing says it.
 */
export function wireDiameterMm(
  end: End,
  wireBreak: Pick<WireBreak, "context">,
  except: string | null,
  placingPx?: number,
): KnownDiameter | null {
  const drawn = drawnDiameterMm(end, except, placingPx);
  if (drawn !== null) return drawn;
  for (const mark of end.marks) {
    const typed = mark.feature === "wire_outline" && mark.state === "present" ? mark.given["d0_mm"] : undefined;
    if (typeof typed === "number" && typed > 0)
      return {
        diameterMm: knownDiameter({ value: typed, u: typed * UNSTATED_DIAMETER_U }),
        from: "the stated wire diameter (uncertainty not stated, 0.5 % taken)",
        source: "given",
      };
  }
  const { measuredDiameterMm: measured, measuredDiameterUMm: u, nominalDiameterMm: nominal } = wireBreak.context;
  if (measured !== null && measured > 0)
    return {
      diameterMm: knownDiameter({ value: measured, u: u !== null && u >= 0 ? u : measured * UNSTATED_DIAMETER_U }),
      from:
        u === null ? "the measured wire diameter (uncertainty not stated, 0.5 % taken)" : "the measured wire diameter",
      source: "measured",
    };
  if (nominal !== null && nominal > 0)
    return {
      diameterMm: knownDiameter({ value: nominal, u: nominal * NOMINAL_DIAMETER_U }),
      from: "the nominal wire diameter (taken as within 1 %)",
      source: "nominal",
    };
  return null;
}

/** Wire diameter from the drawn outlines of an end that have a scale; null = none. Side views before end-on, both unbiased. */
export function drawnDiameterMm(end: End, except: string | null, placingPx?: number): KnownDiameter | null {
  const readings: { kind: string | null; diameterMm: Quantity }[] = [];
  for (const photograph of end.photographs) {
    if (photograph.id === except || photograph.view === "tilt_45") continue;
    const placing = placingPx ?? placingUncertaintyPx(photograph.widthPx);
    for (const mark of outlinesOn(end, photograph.id)) {
      const frame = mark.geometry === null ? null : fromOutline(mark.id, mark.geometry, placing);
      const mm = frame?.diameterPx ? drawnInMm(mark, frame.diameterPx, photograph) : null;
      if (mm !== null) readings.push({ kind: VIEW_KIND[photograph.view], diameterMm: mm });
    }
  }
  const best = readings.find((r) => r.kind === "S") ?? readings[0];
  return best === undefined
    ? null
    : { diameterMm: best.diameterMm, from: "the outline on another photograph of this end", source: "outline" };
}

/** An outline's diameter in mm. The outline that set the scale has the diameter it was given, and no more is known. */
export function drawnInMm(mark: Mark, diameterPx: Quantity, photograph: Photograph): Quantity | null {
  const { scale } = photograph;
  if (scaleQuantity(scale, photograph.id) === null) return null;
  if (scale?.method === "wire-diameter" && scale.markId === mark.id) return knownDiameter(scale.diameterMm);
  return lengthInMm(diameterPx, photograph);
}
