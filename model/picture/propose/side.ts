import type { Geometry, Point } from "../../break/geometry.ts";
import type { ProposedMark } from "../../break/wire-break.ts";
import type { ConfidenceTable } from "./confidence.ts";
import { confidenceAt } from "./confidence.ts";
import type { ProposeInput, Proposals } from "./proposals.ts";
import {
  CONE_CONFIDENCE,
  EDGES_CONFIDENCE,
  NECK_CONFIDENCE,
  PLANE_CONFIDENCE,
  SIDE_FINDER,
} from "./side-confidence.ts";
import type { SideFinding } from "./side-find.ts";
import { findSide } from "./side-find.ts";
import type { AlongAcross } from "./side-frame.ts";
import { outOfFrame } from "./side-frame.ts";
import { withinPicture } from "./side-silhouette.ts";
import { coneWorth, edgesWorth, neckWorth, planeWorth } from "./side-worth.ts";

/** Shorter side below which a picture shows too little to propose anything, px. */
const SMALLEST_PX = 90;
/** How far back on the axis the second arm of a fracture plane lies, in wire diameters. */
const AXIS_ARM = 0.8;

/** Marks of a side view with the outline of the wire they were read from. */
export interface SideProposals extends Proposals {
  /** The wire as a closed polygon, px of the raster; null = none found. */
  readonly silhouette: readonly Point[] | null;
}

/**
 * Proposed marks of a side view: the two sound edges, the direction of the wire toward its break, the neck, a standing
 * cone with its tip, or the plane of the break.
 *
 * @returns marks in px of the raster; none, with a sentence, when no wire is found for sure.
 */
export function proposeSide({ raster }: ProposeInput): SideProposals {
  if (Math.min(raster.widthPx, raster.heightPx) < SMALLEST_PX)
    return silent("The picture is too small to find the wire in it.");
  const found = findSide(raster);
  if ("says" in found) return silent(found.says);
  const { frame } = found.edges.outline;
  const marks = [
    mark("wire_outline", EDGES_CONFIDENCE, edgesWorth(found), edgeLines(found, raster)),
    ...breakMarks(found),
  ].flatMap((m) => m ?? []);
  if (marks[0]?.feature !== "wire_outline") return silent("The edges of the wire are too unsure to be proposed.");
  const degrees = (frame.turn * 180) / Math.PI;
  return {
    marks,
    axisDeg: ((((degrees + 180) % 360) + 360) % 360) - 180,
    says: null,
    silhouette: found.silhouette,
  };
}

function breakMarks(found: SideFinding): (ProposedMark | null)[] {
  const { frame } = found.edges.outline;
  const at = ({ u, w }: AlongAcross): Point => outOfFrame(frame, u, w);
  const { neck, cone, plane } = found;
  const marks: (ProposedMark | null)[] = [];
  if (neck)
    marks.push(
      mark("neck", NECK_CONFIDENCE, neckWorth(found, neck), {
        type: "line",
        points: [at(neck.upper), at(neck.lower)],
      }),
    );
  if (cone) {
    const worth = coneWorth(found, cone);
    marks.push(
      mark("cone_flank", CONE_CONFIDENCE, worth, {
        type: "angle",
        points: [at(cone.upperBase), at(cone.meet), at(cone.lowerBase)],
      }),
      mark("cone_apex", CONE_CONFIDENCE, worth, { type: "point", points: [at(cone.tip)] }),
    );
  }
  if (plane)
    marks.push(
      mark("fracture_plane", PLANE_CONFIDENCE, planeWorth(found, plane), {
        type: "angle",
        points: [at(plane.onPlane), at(plane.onAxis), at({ u: plane.onAxis.u - AXIS_ARM * frame.diameter, w: 0 })],
      }),
    );
  return marks;
}

function edgeLines({ edges }: SideFinding, raster: ProposeInput["raster"]): Geometry {
  const { frame } = edges.outline;
  const half = frame.diameter / 2;
  const [a1, a2] = withinPicture(frame, -half, edges.upperFrom, edges.to, raster);
  const [b1, b2] = withinPicture(frame, half, edges.lowerFrom, edges.to, raster);
  return { type: "edges", points: [a1, a2, b1, b2] };
}

function mark(
  feature: ProposedMark["feature"],
  table: ConfidenceTable,
  worth: number,
  geometry: Geometry,
): ProposedMark | null {
  const confidence = confidenceAt(table, worth);
  return confidence === null ? null : { feature, geometry, confidence, finder: SIDE_FINDER };
}

const silent = (says: string): SideProposals => ({ marks: [], axisDeg: null, says, silhouette: null });
