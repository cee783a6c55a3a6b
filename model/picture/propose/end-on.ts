import type { ProposedMark } from "../../break/wire-break.ts";
import { halfColour, shrinkColour } from "./colour-planes.ts";
import { confidenceAt } from "./confidence.ts";
import { END_ON_FINDER, HOLE_CONFIDENCE, OUTLINE_CONFIDENCE } from "./end-on-confidence.ts";
import { findHole } from "./end-on-hole.ts";
import { findOutline } from "./end-on-outline.ts";
import { enlarge } from "./enlarge.ts";
import type { ProposeInput, Proposals } from "./proposals.ts";

/** Shorter side below which a picture shows too little to propose anything, px. */
const SMALLEST_PX = 120;
const FINE_PX = 800;

/**
 * Proposed marks of a picture of a face: the outline of the sound wire, an open hole in the middle, the inner edge of a
 * shear lip.
 *
 * @returns marks in px of the raster; none, with a sentence, when no wire is found for sure.
 */
export function proposeEndOn({ raster }: ProposeInput): Proposals {
  if (Math.min(raster.widthPx, raster.heightPx) < SMALLEST_PX)
    return silent("The picture is too small to find the wire in it.");
  const fine = shrinkColour(raster, FINE_PX);
  const coarse = halfColour(fine);
  const outline = findOutline(coarse, fine);
  const confidence = outline === null ? null : confidenceAt(OUTLINE_CONFIDENCE, outline.worth);
  if (outline === null || confidence === null) return silent("No outline of a wire stands out clearly enough.");
  const marks: ProposedMark[] = [
    {
      feature: "wire_outline",
      geometry: enlarge(outline.ellipse, fine.by),
      confidence,
      finder: END_ON_FINDER,
    },
  ];
  const hole = findHole(coarse, fine, outline.ellipse);
  const openHole = hole === null ? null : confidenceAt(HOLE_CONFIDENCE, hole.worth);
  if (hole !== null && openHole !== null)
    marks.push({
      feature: "end_hole",
      geometry: enlarge({ type: "polygon", points: hole.polygon }, fine.by),
      confidence: openHole,
      finder: END_ON_FINDER,
    });
  return { marks, axisDeg: null, says: null };
}

const silent = (says: string): Proposals => ({ marks: [], axisDeg: null, says });
