import type { Point } from "../../break/geometry.ts";
import type { Raster } from "../pixels/grey.ts";
import type { Strip } from "./side-axis.ts";
import { findStrips } from "./side-axis.ts";
import { busyness } from "./side-busy.ts";
import { colourOutline } from "./side-colour.ts";
import { fineContour } from "./side-contour.ts";
import type { SoundEdges } from "./side-edges.ts";
import { juts, soundEdges } from "./side-edges.ts";
import type { BreakPlane, Cone } from "./side-face.ts";
import { faceOutline, findCone, findPlane } from "./side-face.ts";
import type { Neck } from "./side-neck.ts";
import { findNeck } from "./side-neck.ts";
import type { RoughOutline } from "./side-outline.ts";
import { roughOutline } from "./side-outline.ts";
import type { SidePlanes, SmallColours } from "./side-planes.ts";
import { sidePlanes, smallColours } from "./side-planes.ts";
import type { EdgePair } from "./side-pair.ts";
import { agrees, bothEdges, edgePair, liesOutside } from "./side-pair.ts";
import type { Rims } from "./side-rims.ts";
import { findRims } from "./side-rims.ts";
import { silhouette } from "./side-silhouette.ts";
import { wirePixels } from "./side-wire.ts";

/** Edges rougher than this are none, wire diameters. */
const ROUGHEST = 0.006;

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
 * Finds the wire in a side view at any turn in the picture: by its colour where that is not the ground's, else by the busy
 * pixels that hang together, their direction and the two outermost lines along them; the outline to a fraction of a pixel,
 * the straight part, and what the break looks like in profile.
 */
export function findSide(raster: Raster): SideFinding | SideSilence {
  const small = smallColours(raster);
  const found = wireByColour(raster, small) ?? wireByEdges(sidePlanes(raster, small));
  if ("says" in found) return found;
  const { edges, strength } = found;
  const { outline } = edges;
  const rims = findRims(outline);
  const face = rims && faceOutline(outline, rims);
  const cone = rims && face && findCone(outline, rims, face);
  return {
    edges,
    silhouette: silhouette(outline, raster),
    strength,
    rims,
    neck: rims && findNeck(outline, rims, edges.from),
    cone,
    plane: face && cone === null ? findPlane(outline, face) : null,
  };
}

const UNCLEAR: SideSilence = { says: "It is not clear which of several lines is the edge of the wire." };

type FoundEdges = Pick<SideFinding, "edges" | "strength">;

function wireByColour(raster: Raster, small: SmallColours): FoundEdges | null {
  const { by } = small;
  const colour = colourOutline(small);
  if (colour === null) return null;
  const contour = fineContour({ raster, by }, colour.points, "held");
  for (const strip of stripsOf(colour.points)) {
    const edges = soundEdges(contour.points, enlarged(strip, by));
    if (edges === null || edges.roughness > ROUGHEST) continue;
    const pair = edgePair(raster, edges);
    if (pair === null || !liesOutside(pair, edges)) return { edges, strength: colour.contrast };
  }
  return null;
}

function wireByEdges(planes: SidePlanes): FoundEdges | SideSilence {
  const busy = busyness(planes);
  const pixels = wirePixels(busy);
  const strips = pixels === null ? [] : findStrips(pixels);
  if (pixels === null || strips.length === 0) return { says: "No wire stands out from its ground clearly enough." };
  let rough: RoughOutline | null = null;
  for (const strip of strips) rough ??= roughOutline(planes.smallLuma, busy, pixels, strip);
  if (rough === null) return { says: "No wire comes in from one side of the picture and ends in it." };
  const first = drawn(planes, rough);
  if (first === null) return { says: "The edges of the wire are not straight enough to be proposed." };
  const pair = edgePair(planes.raster, first.edges);
  if (pair === null || agrees(pair, first.edges)) return juts(first.edges) ? UNCLEAR : first;
  // Two readings: the outermost line that all of the wire shows is tried as its edge.
  const strip = stripOfPair(pair, first.edges, planes.by);
  const again = strip && roughOutline(planes.smallLuma, busy, pixels, strip.strip, strip.to);
  const second = again && drawn(planes, again);
  const check = second && edgePair(planes.raster, second.edges);
  return second && check && agrees(check, second.edges) && !juts(second.edges) ? second : UNCLEAR;
}

function drawn(planes: SidePlanes, rough: RoughOutline): FoundEdges | null {
  const contour = fineContour(planes, rough.points, "outermost");
  const edges = soundEdges(contour.points, enlarged(rough.strip, planes.by));
  const sorted = [...contour.strength].sort((a, b) => a - b);
  return edges && { edges, strength: sorted[Math.floor(sorted.length / 2)] ?? 0 };
}

/** The strip between two lines, and where along it the straight part ends, px of the smaller copy. */
function stripOfPair(
  pair: EdgePair,
  edges: SoundEdges,
  by: number,
): { readonly strip: Strip; readonly to: number } | null {
  const { upper, lower } = bothEdges(pair, edges);
  if (upper === null || lower === null) return null;
  const { outline, to } = edges;
  const { origin, turn } = outline.frame;
  const [c, s] = [Math.cos(turn), Math.sin(turn)];
  const middle = c * origin[1] - s * origin[0];
  const strip = { turn, low: (middle + upper) / by, high: (middle + lower) / by };
  return { strip, to: (c * origin[0] + s * origin[1] + to) / by };
}

/** Directions the outline itself suggests, from the rim of the picture toward the break. */
function stripsOf(points: readonly Point[]): readonly Strip[] {
  const x = Float32Array.from(points, (p) => p[0]);
  const y = Float32Array.from(points, (p) => p[1]);
  const [a, b] = [points[0], points.at(-1)];
  if (a === undefined || b === undefined) return [];
  return findStrips({ x, y }).map((strip) => {
    const [c, s] = [Math.cos(strip.turn), Math.sin(strip.turn)];
    const along = ([px, py]: Point): number => c * px + s * py;
    const mean = points.reduce((sum, p) => sum + along(p), 0) / points.length;
    const forward = mean > (along(a) + along(b)) / 2;
    return forward ? strip : { turn: strip.turn + Math.PI, low: -strip.high, high: -strip.low };
  });
}

const enlarged = ({ turn, low, high }: Strip, by: number): Strip => ({ turn, low: low * by, high: high * by });
