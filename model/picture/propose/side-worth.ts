import type { BreakPlane, Cone } from "./side-face.ts";
import type { SideFinding } from "./side-find.ts";
import type { Neck } from "./side-neck.ts";

/** How well the finder thinks it has found something, 0–1. The confidence tables turn it into a share that is right. */

const clamped = (x: number): number => Math.max(0, Math.min(1, x));

/** Edges are worth more the longer, smoother and stronger they are. */
export function edgesWorth({ edges, strength }: SideFinding): number {
  const length = (edges.to - edges.from) / edges.outline.frame.diameter;
  return Math.cbrt(clamped(length / 1.2) * clamped(1 - edges.roughness / 0.006) * clamped(strength / 8));
}

/** A neck is worth nothing when other readings of it differ by more than this, as a share of it. */
const MOST_DOUBT = 0.03;

/** A neck is as sure as the edges, and less so when it is thinner than necks are or thicker than the wire. */
export function neckWorth(found: SideFinding, neck: Neck): number {
  if (neck.doubt > MOST_DOUBT) return 0;
  const share = neck.diameter / found.edges.outline.frame.diameter;
  const likely = share > 0.25 && share < 1.12 ? 1 : 0.3;
  return edgesWorth(found) * likely;
}

/** A cone is worth the smaller straight share of its flanks; nothing when the edges are doubtful. */
export const coneWorth = (found: SideFinding, cone: Cone): number => (edgesWorth(found) >= 0.6 ? cone.straight : 0);

/** A plane is worth the share of its trace that is straight; nothing when the edges are doubtful. */
export const planeWorth = (found: SideFinding, plane: BreakPlane): number =>
  edgesWorth(found) >= 0.7 ? plane.straight : 0;
