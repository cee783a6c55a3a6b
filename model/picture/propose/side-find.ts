import type { Point } from "../../break/geometry.ts";
import type { Raster } from "../pixels/grey.ts";
import { findStrips } from "./side-axis.ts";
import { busyness } from "./side-busy.ts";
import { fineContour } from "./side-contour.ts";
import type { SoundEdges } from "./side-edges.ts";
import { soundEdges } from "./side-edges.ts";
import type { BreakPlane, Cone } from "./side-face.ts";
import { faceOutline, findCone, findPlane } from "./side-face.ts";
import type { Neck } from "./side-neck.ts";
import { findNeck } from "./side-neck.ts";
import type { RoughOutline } from "./side-outline.ts";
import { roughOutline } from "./side-outline.ts";
import { sidePlanes } from "./side-planes.ts";
import type { Rims } from "./side-rims.ts";
import { findRims } from "./side-rims.ts";
import { silhouette } from "./side-silhouette.ts";
import { wirePixels } from "./side-wire.ts";

/** What was found in a side view, before it is weighed. Places in the frame of `edges.outline`, px of the raster. */
export interface SideFinding {
  readonly edges: SoundEdges;
  /** The wire as a closed polygon, px of the raster. */
  readonly silhouette: readonly Point[];
  /** Change of colour across the outline in units of bare card, median. */
  readonly strength: number;
  /** null = the skin cannot be told from the broken face. */
  readonly rims: Rims | null;
  readonly neck: Neck | null;
  readonly cone: Cone | null;
  readonly plane: BreakPlane | null;
}

/** Why nothing was found: a sentence for the reader. */
export type SideSilence = { readonly says: string };

/**
 * Finds the wire in a side view at any turn in the picture: the busy pixels that hang together, their direction and two
 * outermost edges, the outline to a fraction of a pixel, the straight part, and what the break looks like in profile.
 */
export function findSide(raster: Raster): SideFinding | SideSilence {
  const planes = sidePlanes(raster);
  const busy = busyness(planes);
  const pixels = wirePixels(busy);
  const strips = pixels === null ? [] : findStrips(pixels);
  if (pixels === null || strips.length === 0) return { says: "No wire stands out from its ground clearly enough." };
  let rough: RoughOutline | null = null;
  for (const strip of strips) rough ??= roughOutline(busy, pixels, strip);
  if (rough === null) return { says: "No wire comes in from one side of the picture and ends in it." };
  const contour = fineContour(planes, rough.points);
  const { turn, low, high } = rough.strip;
  const edges = soundEdges(contour.points, { turn, low: low * planes.by, high: high * planes.by });
  if (edges === null) return { says: "The edges of the wire are not straight enough to be proposed." };
  const { outline } = edges;
  const rims = findRims(outline);
  const face = rims && faceOutline(outline, rims);
  const cone = rims && face && findCone(outline, rims, face);
  return {
    edges,
    silhouette: silhouette(outline, raster),
    strength: [...contour.strength].sort((a, b) => a - b)[Math.floor(contour.strength.length / 2)] ?? 0,
    rims,
    neck: rims && findNeck(outline, rims, edges.from),
    cone,
    plane: face && cone === null ? findPlane(outline, face) : null,
  };
}
