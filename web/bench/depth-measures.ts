import type { Edit } from "../../model/break/edits.ts";
import type { Point } from "../../model/break/geometry.ts";
import type { EndSide, Mark, Photograph, WireBreak } from "../../model/break/wire-break.ts";
import type { FeatureId } from "../../model/evidence/features.ts";
import { formatMeasure } from "../../model/measure/format.ts";
import { MeasureError } from "../../model/measure/measure-error.ts";
import { scaleQuantity } from "../../model/measure/scale.ts";
import { over, scaled, standardUncertainty, type Quantity } from "../../model/measure/uncertain.ts";
import { wireDiameterMm, wireFrame } from "../../model/measure/wire-frame.ts";
import type { MeasureUnit } from "../../model/evidence/features.ts";
import { fitCone, includedDeg } from "../../model/picture/stack/cone.ts";
import type { HeightMap } from "../../model/picture/stack/height-map.ts";
import { holeDepth, stepHeight } from "../../model/picture/stack/level.ts";
import type { Zone } from "../../model/picture/stack/zone.ts";

/** A number read from heights, and the measure of a mark that it can become. */
export interface DepthReading {
  readonly label: string;
  readonly unit: MeasureUnit;
  readonly quantity: Quantity;
  /** What more is to be known about it; "" = nothing. */
  readonly remark: string;
  readonly takes: { readonly feature: FeatureId; readonly key: string } | null;
}
export interface DepthReadings {
  readonly found: readonly DepthReading[];
  /** Why something is not there, in words. */
  readonly missing: readonly string[];
}

export interface DepthPlaces {
  readonly a: Point;
  readonly b: Point;
  readonly centre: Point;
  readonly radiusPx: number;
}

/** Radius of the areas round the ends of the profile line whose levels are compared, as a share of the picture width. */
export const AREA_SHARE = 0.03;

interface Where {
  readonly map: HeightMap;
  readonly photograph: Photograph;
  readonly side: EndSide;
  readonly record: WireBreak;
  readonly breathing: number;
}

/** Cone, hole and step at the places picked, each or the reason why not. */
export function depthReadings(where: Where, places: DepthPlaces): DepthReadings {
  const found: DepthReading[] = [];
  const missing: string[] = [];
  const attempt = (what: string, read: () => readonly DepthReading[]) => {
    try {
      found.push(...read());
    } catch (error) {
      if (!(error instanceof MeasureError)) throw error;
      missing.push(`${what}: ${error.message}`);
    }
  };
  const { map, photograph } = where;
  const area: Zone = { kind: "circle", x: places.centre[0], y: places.centre[1], radius: places.radiusPx };
  attempt("Step from A to B", () => {
    const radius = AREA_SHARE * photograph.widthPx;
    const [a, b] = [places.a, places.b].map((p): Zone => ({ kind: "circle", x: p[0], y: p[1], radius }));
    const quantity = stepHeight(map, photograph.id, a!, b!);
    const level = Math.abs(quantity.value) <= 2 * standardUncertainty(quantity);
    const side = quantity.value < 0 ? "B lies farther from the lens than A" : "B lies nearer to the lens than A";
    const remark = level ? "both lie level within the uncertainty" : side;
    return [{ label: "Step from A to B", unit: "µm", quantity, remark, takes: null }];
  });
  attempt("Cone in the circle", () => coneReadings(where, area));
  attempt("Hole", () => holeReadings(where, area));
  return { found, missing };
}

function coneReadings({ map, photograph, breathing, side, record }: Where, area: Zone): readonly DepthReading[] {
  const scale = scaleQuantity(photograph.scale, photograph.id);
  if (scale === null)
    throw new MeasureError(
      "scale-missing",
      "This photograph has no scale. Set it with S; an angle needs both directions.",
    );
  const cone = fitCone(map, photograph.id, area, scale, breathing);
  const tilt = cone.tiltDeg >= 2 ? `; its axis leans ${cone.tiltDeg.toFixed(0)}° from the line of sight` : "";
  const kind = cone.stands ? "cone, the tip toward the lens" : "cup, the tip away from the lens";
  const feature = "cone_flank" as const;
  const takes = (key: string) => (cone.stands ? { feature, key } : null);
  const d = diameterMm(where(side, record, photograph));
  const height = d === null ? null : over(scaled(cone.heightUm, 1 / 1000), d);
  return [
    {
      label: "Flank angle to the axis",
      unit: "°",
      quantity: cone.flankDeg,
      remark: kind + tilt,
      takes: takes("flank_angle_deg"),
    },
    {
      label: "Included angle",
      unit: "°",
      quantity: includedDeg(cone.flankDeg),
      remark: "",
      takes: takes("included_angle_deg"),
    },
    { label: "Height of the cone in the circle", unit: "µm", quantity: cone.heightUm, remark: "", takes: null },
    ...(height === null
      ? []
      : [
          { label: "The same over D", unit: "D" as const, quantity: height, remark: "", takes: takes("cone_height_d") },
        ]),
  ];
}

function holeReadings({ map, photograph, side, record }: Where, area: Zone): readonly DepthReading[] {
  const outline = holeMark(record, side, photograph.id)?.geometry;
  const zone: Zone =
    outline?.type === "ellipse" || outline?.type === "polygon" ? { kind: "shape", geometry: outline } : area;
  const { depth, seen } = holeDepth(map, photograph.id, zone);
  const noise = 2 * standardUncertainty(depth);
  if (depth.value < noise)
    throw new MeasureError("degenerate-geometry", "Nothing lies deeper there than its surroundings.");
  const least = seen < 0.33 ? "at least: the floor is hardly seen" : "";
  const from =
    zone.kind === "shape" ? "within the marked hole" : "within the circle: mark the hole for its own outline";
  const remark = [from, least].filter(Boolean).join("; ");
  const d = diameterMm(where(side, record, photograph));
  return [
    { label: "Depth of the hole", unit: "µm", quantity: depth, remark, takes: null },
    ...(d === null || least !== ""
      ? []
      : [
          {
            label: "The same over D",
            unit: "D" as const,
            quantity: over(scaled(depth, 1 / 1000), d),
            remark: "",
            takes: { feature: "end_hole" as const, key: "depth_d" },
          },
        ]),
  ];
}

const where = (side: EndSide, record: WireBreak, photograph: Photograph) => ({ side, record, photograph });

/** Wire diameter in mm: the outline on this photograph at its scale, else what is known of the wire. */
function diameterMm({ side, record, photograph }: ReturnType<typeof where>): Quantity | null {
  const end = record.ends[side];
  const scale = scaleQuantity(photograph.scale, photograph.id);
  const px = wireFrame(end, photograph, record).diameterPx;
  if (scale !== null && px !== null) return over(px, scale);
  return wireDiameterMm(end, record, null)?.diameterMm ?? null;
}

const holeMark = (record: WireBreak, side: EndSide, photographId: string): Mark | undefined =>
  record.ends[side].marks.find(
    (m) => m.feature === "end_hole" && m.state === "present" && m.photographId === photographId,
  );

/** A reading as text: value, expanded uncertainty, unit. */
export const readingText = (r: DepthReading): string =>
  formatMeasure({ key: "", value: r.quantity.value, unit: r.unit, u: standardUncertainty(r.quantity) });

/**
 * The edit that takes a reading as a measure: onto the mark of that feature on this photograph or end, else as a new
 * mark. The note says where the number came from, with its uncertainty.
 */
export function takeReading(
  reading: DepthReading,
  { record, side, photograph }: Pick<Where, "record" | "side" | "photograph">,
  fresh: { readonly id: string; readonly by: string; readonly at: string },
): Edit | null {
  if (reading.takes === null) return null;
  const { feature, key } = reading.takes;
  const { marks } = record.ends[side];
  const present = marks.filter((m) => m.feature === feature && m.state === "present");
  const mark = present.find((m) => m.photographId === photograph.id) ?? present[0];
  const value = Number(reading.quantity.value.toPrecision(4));
  const line = `${reading.label}: ${readingText(reading)} from focus stack`;
  if (mark) {
    const note = mark.note.includes("from focus stack") ? mark.note : [mark.note, line].filter(Boolean).join("; ");
    return {
      kind: "set-mark",
      markId: mark.id,
      patch: { given: { ...mark.given, [key]: value }, note: note.slice(0, 500) },
    };
  }
  return {
    kind: "add-mark",
    side,
    index: marks.length,
    mark: {
      ...fresh,
      feature,
      state: "present",
      photographId: photograph.id,
      geometry: null,
      given: { [key]: value },
      note: line,
    },
  };
}
