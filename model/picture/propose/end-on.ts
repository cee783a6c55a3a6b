import type { ProposedMark } from "../../break/wire-break.ts";
import type { Raster } from "../pixels/grey.ts";
import { halfColour, shrinkColour } from "./colour-planes.ts";
import { confidenceAt } from "./confidence.ts";
import { END_ON_FINDER, HOLE_CONFIDENCE, LIP_CONFIDENCE, OUTLINE_CONFIDENCE } from "./end-on-confidence.ts";
import type { FoundHole } from "./end-on-hole.ts";
import { findHole } from "./end-on-hole.ts";
import type { FoundLip } from "./end-on-lip.ts";
import { findLip } from "./end-on-lip.ts";
import type { FoundOutline } from "./end-on-outline.ts";
import { findOutline } from "./end-on-outline.ts";
import { enlarge } from "./enlarge.ts";
import { flatGround } from "./flat-ground.ts";
import type { ProposeInput, Proposals } from "./proposals.ts";

/** Shorter side below which a picture shows too little to propose anything, px. */
const SMALLEST_PX = 120;
const FINE_PX = 800;
/** So dark inside, against the face around it, that its edge is no lip's, whatever else it is. */
const CAVITY = 0.3;

/** The best of each mark that was found, sure or not. Lengths in px of the raster / `by`. */
export interface FoundEndOn {
  readonly by: number;
  readonly outline: FoundOutline;
  readonly hole: FoundHole | null;
  readonly lip: FoundLip | null;
}

/** @returns null when no outline was found, or none sure enough to look inside. */
export function findEndOn(raster: Raster): FoundEndOn | null {
  const fine = shrinkColour(raster, FINE_PX);
  const coarse = halfColour(fine);
  const flat = flatGround(fine);
  const outline = findOutline(halfColour(flat), flat);
  if (outline === null || outline.worth < LEAST_WORTH) return null;
  const hole = findHole(coarse, fine, outline.ellipse);
  const cavity = hole !== null && hole.worth > 0 && hole.signs.inOverOut < CAVITY;
  return { by: fine.by, outline, hole, lip: cavity ? null : findLip(fine, outline.ellipse) };
}

const LEAST_WORTH = OUTLINE_CONFIDENCE.rows[0]?.[0] ?? 1;

/**
 * Proposed marks of a picture of a face: the outline of the sound wire, an open hole in the middle, the inner edge of a
 * shear lip.
 *
 * @returns marks in px of the raster; none, with a sentence, when no wire is found for sure.
 */
export function proposeEndOn({ raster }: ProposeInput): Proposals {
  if (Math.min(raster.widthPx, raster.heightPx) < SMALLEST_PX)
    return silent("The picture is too small to find the wire in it.");
  const found = findEndOn(raster);
  if (found === null) return silent("No outline of a wire stands out clearly enough.");
  const { outline, hole, lip, by } = found;
  const marks: ProposedMark[] = [];
  const put = (
    feature: ProposedMark["feature"],
    geometry: ProposedMark["geometry"],
    confidence: number | null,
  ): void => {
    if (confidence !== null)
      marks.push({ feature, geometry: enlarge(geometry, by), confidence, finder: END_ON_FINDER });
  };
  put("wire_outline", outline.ellipse, confidenceAt(OUTLINE_CONFIDENCE, outline.worth));
  if (hole !== null)
    put("end_hole", { type: "polygon", points: hole.polygon }, confidenceAt(HOLE_CONFIDENCE, hole.worth));
  if (lip !== null) put("shear_lip", { type: "polyline", points: lip.line }, confidenceAt(LIP_CONFIDENCE, lip.worth));
  return { marks, axisDeg: null, says: null };
}

const silent = (says: string): Proposals => ({ marks: [], axisDeg: null, says });
