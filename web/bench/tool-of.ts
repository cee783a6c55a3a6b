import { featureSpec } from "../../model/evidence/features.ts";
import type { Tool } from "../canvas/types.ts";
import type { Drawing } from "./view.svelte.ts";

/** What the canvas is asked to draw. */
export function toolOf(drawing: Drawing | null): Tool | null {
  if (drawing === null) return null;
  if (drawing.kind === "feature") return { geometry: drawing.geometry, label: featureSpec(drawing.feature).name };
  if (drawing.kind === "scale-length") return { geometry: "line", label: "known length" };
  if (drawing.kind === "grey-patch") return { geometry: "point", label: "something grey" };
  return { geometry: drawing.geometry, label: "new shape" };
}

/** How the shape is drawn, in a few words beside the keys. */
export const HOW_TO_DRAW: Readonly<Record<Tool["geometry"], string>> = {
  point: "one point",
  line: "two ends",
  polyline: "points along it",
  polygon: "points round it",
  ellipse: "drag a box, or five points or more round the rim",
  angle: "arm, corner, arm",
  edges: "one edge, then the other",
};
