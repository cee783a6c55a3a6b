import type { Geometry, Point } from "../../model/break/geometry.ts";
import type { ProposedMark } from "../../model/break/wire-break.ts";
import type { FeatureId } from "../../model/evidence/features.ts";
import { enlarge } from "../../model/picture/propose/enlarge.ts";
import { proposeMarks } from "../../model/picture/propose/propose.ts";
import type { SideProposals } from "../../model/picture/propose/side.ts";
import { proposalLine } from "../propose/proposal-line.ts";
import { readPicture } from "../propose/read-picture.ts";
import { meanDistance, overlap } from "./shapes.ts";
import type { TruePicture } from "./truth.ts";

/** How far one proposed mark is from what is truly there. */
export interface JudgedMark {
  readonly feature: FeatureId;
  readonly file: string;
  /** "true" = there is one on the picture, "none" = stated not to be there, "unstated" = the truth is silent. */
  readonly truth: "true" | "none" | "unstated";
  /** null = nothing proposed. */
  readonly confidence: number | null;
  /** Overlap, share, degrees or wire diameters: see `MEASURED_BY`; null where one of the two is missing. */
  readonly value: number | null;
}

export interface JudgedPicture {
  readonly picture: TruePicture;
  readonly marks: readonly JudgedMark[];
  /** Processor time of the search without decoding, ms. */
  readonly ms: number;
}

/** What `value` is, and from where on a proposal counts as right. */
export const MEASURED_BY: Readonly<
  Partial<Record<FeatureId, { readonly what: string; readonly right: (v: number) => boolean }>>
> = {
  wire_outline: { what: "overlap (IoU)", right: (v) => v >= 0.95 },
  end_hole: { what: "overlap (IoU)", right: (v) => v >= 0.7 },
  shear_lip: { what: "mean distance / D", right: (v) => v <= 0.05 },
  neck: { what: "diameter error / diameter", right: (v) => v <= 0.03 },
  cone_flank: { what: "flank angle error, degrees", right: (v) => v <= 4 },
  cone_apex: { what: "distance / D", right: (v) => v <= 0.05 },
  fracture_plane: { what: "plane angle error, degrees", right: (v) => v <= 4 },
};

/** Longest side on which marks are looked for, px: as on the bench. */
export const SEARCHED_PX = 1600;
const END_ON: readonly FeatureId[] = ["wire_outline", "end_hole", "shear_lip"];
const SIDE: readonly FeatureId[] = ["wire_outline", "neck", "cone_flank", "cone_apex", "fracture_plane"];

export async function judgePicture(picture: TruePicture): Promise<JudgedPicture> {
  const { raster, widthPx, heightPx } = await readPicture(picture.path, SEARCHED_PX);
  const shrunkBy = widthPx / raster.widthPx;
  const before = process.cpuUsage();
  const found = proposeMarks({
    raster,
    view: picture.view === "end_on" ? "end_on" : "side",
    pxPerMm: picture.pxPerMm === null ? null : picture.pxPerMm / shrunkBy,
    wireMm: null,
  });
  const used = process.cpuUsage(before);
  // On side views the outline is judged by the area of the whole wire that its edges were read from.
  const outline = "silhouette" in found ? (found as SideProposals).silhouette : null;
  const proposed = found.marks.map((m) => ({ ...m, geometry: enlarge(m.geometry, shrunkBy) }));
  const frame = { file: picture.file, view: picture.view, widthPx, heightPx, pxPerMm: picture.pxPerMm, says: null };
  const stated = picture.shapes.map((shape): ProposedMark => ({ ...shape, confidence: 1, finder: "" }));
  const lines = {
    proposed: proposalLine({ ...frame, axisDeg: found.axisDeg, marks: proposed }).marks,
    truth: proposalLine({ ...frame, axisDeg: null, marks: stated }).marks,
  };
  const size = picture.diameterPx ?? diameterPx(stated);
  const marks = (picture.view === "end_on" ? END_ON : SIDE).map((feature): JudgedMark => {
    const at = proposed.findIndex((m) => m.feature === feature);
    const trueAt = stated.findIndex((m) => m.feature === feature);
    const [mine, real] = [proposed[at], stated[trueAt]];
    const number = (line: (typeof lines)["truth"][number] | undefined, key: string): number | null => {
      const v = line?.measures[key];
      return typeof v === "number" ? v : null;
    };
    const apart = (key: string): number | null => {
      const [a, b] = [number(lines.proposed[at], key), number(lines.truth[trueAt], key)];
      return a === null || b === null ? null : Math.abs(a - b);
    };
    const areas =
      feature === "wire_outline" && outline !== null && picture.silhouette !== null
        ? overlap(enlarge({ type: "polygon", points: outline }, shrunkBy), {
            type: "polygon",
            points: picture.silhouette,
          })
        : null;
    const value =
      mine === undefined || real === undefined
        ? null
        : (areas ?? valueOf(feature, mine.geometry, real.geometry, size, apart));
    const truth = real !== undefined ? "true" : picture.absent.has(feature) ? "none" : "unstated";
    return { feature, file: picture.file, truth, confidence: mine?.confidence ?? null, value };
  });
  return { picture, marks, ms: (used.user + used.system) / 1000 };
}

/** @param size – wire diameter, px. @param apart – difference of a measure of both marks. */
export function valueOf(
  feature: FeatureId,
  a: Geometry,
  b: Geometry,
  size: number | null,
  apart: (key: string) => number | null,
): number | null {
  switch (feature) {
    case "wire_outline":
      return a.type === "edges" || b.type === "edges" ? edgesApart(a, b, size) : overlap(a, b);
    case "end_hole":
      return overlap(a, b);
    case "shear_lip":
      return a.type === "ellipse" || b.type === "ellipse" || size === null
        ? null
        : meanDistance(b.points, a.points) / size;
    case "cone_flank":
      return apart("flank_angle_deg");
    case "fracture_plane":
      return apart("angle_deg");
    case "cone_apex":
      return a.type !== "point" || b.type !== "point" || size === null
        ? null
        : distance(a.points[0], b.points[0]) / size;
    case "neck": {
      if (a.type !== "line" || b.type !== "line") return null;
      const [mineLong, realLong] = [distance(...a.points), distance(...b.points)];
      return Math.abs(mineLong - realLong) / realLong;
    }
    default:
      return null;
  }
}

/** Overlap of the stretch of wire that both pairs of edges bound, as far as it is compared: mean offset / D, as 1 − 2 × offset. */
function edgesApart(a: Geometry, b: Geometry, size: number | null): number | null {
  if (a.type !== "edges" || b.type !== "edges" || size === null) return null;
  const [b1, b2, b3, b4] = b.points;
  const lines = [
    [a.points[0], a.points[1]],
    [a.points[2], a.points[3]],
  ] as const;
  const off = (p: Point): readonly number[] => lines.map(([u, v]) => distanceToLine(p, u, v));
  const pairs = [
    [off(b1), off(b2)],
    [off(b3), off(b4)],
  ] as const;
  const mean = (edge: 0 | 1, line: 0 | 1): number => (pairs[edge][0][line]! + pairs[edge][1][line]!) / 2;
  const straight = mean(0, 0) + mean(1, 1);
  const crossed = mean(0, 1) + mean(1, 0);
  return Math.max(0, 1 - Math.min(straight, crossed) / size);
}

function diameterPx(stated: readonly ProposedMark[]): number | null {
  const outline = stated.find((m) => m.feature === "wire_outline")?.geometry;
  if (outline?.type === "ellipse") return 2 * Math.sqrt(outline.rx * outline.ry);
  if (outline?.type !== "edges") return null;
  const [a1, a2, b1, b2] = outline.points;
  return (distanceToLine(b1, a1, a2) + distanceToLine(b2, a1, a2)) / 2;
}

const distance = ([x0, y0]: Point, [x1, y1]: Point): number => Math.hypot(x1 - x0, y1 - y0);

const distanceToLine = ([x, y]: Point, [x0, y0]: Point, [x1, y1]: Point): number =>
  Math.abs((x1 - x0) * (y - y0) - (y1 - y0) * (x - x0)) / Math.hypot(x1 - x0, y1 - y0);
