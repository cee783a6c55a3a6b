import type { Geometry, Point } from "../../model/break/geometry.ts";
import type { ObservationSheet } from "../../model/break/observation-sheet-types.ts";
import type { Photograph, ProposedMark, WireBreak } from "../../model/break/wire-break.ts";
import type { FeatureId } from "../../model/evidence/features.ts";
import type { MeasureValue } from "../../model/evidence/observations.ts";
import { measuresOf } from "../../model/measure/measures.ts";
import { breakWithUnopenedPictures } from "../../model/measure/paper-record.ts";

/** One picture with its proposed marks, geometry in px of the upright picture in full size. */
export interface ProposedPicture {
  readonly file: string;
  readonly view: "end_on" | "side_0" | "side_90" | null;
  readonly widthPx: number;
  readonly heightPx: number;
  readonly pxPerMm: number | null;
  readonly axisDeg: number | null;
  readonly marks: readonly ProposedMark[];
  readonly says: string | null;
}

export interface PrintedMark {
  readonly feature: FeatureId;
  readonly geometry: Geometry;
  readonly confidence: number;
  readonly measures: Readonly<Record<string, MeasureValue>>;
}

/** The line printed for a picture. */
export interface ProposalLine {
  readonly file: string;
  readonly view: ProposedPicture["view"];
  readonly width: number;
  readonly height: number;
  readonly marks: readonly PrintedMark[];
  /** Why nothing is proposed; left out when something is. */
  readonly says?: string;
}

/** @returns the proposals of one picture in the form of the observation sheet, with the measures they give. */
export function proposalLine(picture: ProposedPicture): ProposalLine {
  const measures = measuresOfMarks(picture);
  return {
    file: picture.file,
    view: picture.view,
    width: picture.widthPx,
    height: picture.heightPx,
    marks: picture.marks.map((mark, i) => ({
      feature: mark.feature,
      geometry: printed(mark.geometry),
      confidence: mark.confidence,
      measures: measures[i] ?? {},
    })),
    ...(picture.says === null ? {} : { says: picture.says }),
  };
}

/** The measures go the way of every other mark: through a sheet into a break with one photograph. */
function measuresOfMarks(picture: ProposedPicture): readonly Readonly<Record<string, MeasureValue>>[] {
  if (picture.view === null || picture.marks.length === 0) return [];
  const sheet: ObservationSheet = {
    id: picture.file,
    ends: [
      {
        role: "machine",
        recovered: true,
        views: [picture.view],
        photos: [{ file: picture.file, view: picture.view, px_per_mm: picture.pxPerMm }],
        features: picture.marks.map((mark) => ({
          feature: mark.feature,
          state: "present",
          photo: picture.file,
          geometry: mark.geometry,
          measures: {},
        })),
      },
    ],
    context: {},
  };
  let count = 0;
  const drawn = breakWithUnopenedPictures(sheet, { id: picture.file, newId: () => `${(count += 1)}`, at: "", by: "" });
  const machine = drawn.ends.machine;
  const photographs = machine.photographs.map((p): Photograph => ({ ...p, axisDeg: picture.axisDeg }));
  const end = { ...machine, photographs };
  const wireBreak: WireBreak = { ...drawn, ends: { ...drawn.ends, machine: end } };
  const photograph = photographs[0] ?? null;
  return end.marks.map((mark) =>
    Object.fromEntries(
      measuresOf(mark, { photograph, end, side: "machine", wireBreak }).map((m) => [
        m.key,
        typeof m.value === "number" ? rounded(m.value, 4) : m.value,
      ]),
    ),
  );
}

/** The two edges of a wire in a side view are printed as the one polygon that they bound. */
function printed(geometry: Geometry): Geometry {
  if (geometry.type === "edges") {
    const [a1, a2, b1, b2] = geometry.points;
    return { type: "polygon", points: [a1, a2, b2, b1].map(point) };
  }
  if (geometry.type === "ellipse") {
    const { cx, cy, rx, ry, angle_deg } = geometry;
    const [x, y, a, b, deg] = [cx, cy, rx, ry, angle_deg].map((v) => rounded(v, 2)) as [
      number,
      number,
      number,
      number,
      number,
    ];
    return { type: "ellipse", cx: x, cy: y, rx: a, ry: b, angle_deg: deg };
  }
  const points: readonly Point[] = geometry.points;
  return { ...geometry, points: points.map(point) } as Geometry;
}

const point = ([x, y]: Point): Point => [rounded(x, 2), rounded(y, 2)];
const rounded = (v: number, digits: number): number => Math.round(v * 10 ** digits) / 10 ** digits;
