import type { ConfidenceTable } from "./confidence.ts";

/*
 * Counted on 436 rendered side views: breaks 1–40 of the corpus `propose-dev`, 5001–5120 of `propose-held-out`, and 36
 * central bursts on the lights and grounds of both; any turn; 1080 px wide. The finder was built on these pictures, and
 * they are rendered: on others, and on a lab's own, the shares may be lower.
 */

/** Name and version of the finder: marks say by which one they were proposed. */
export const SIDE_FINDER = "side 2";

/** Edges: share within 1 % of the diameter of the true ones: 67 of 67, 263 of 264. None is called certain. */
export const EDGES_CONFIDENCE: ConfidenceTable = {
  rows: [
    [0.7, 0.98],
    [0.9, 0.99],
  ],
};

/** Neck: share within 3 % of the true diameter: 11 of 12, 207 of 210. */
export const NECK_CONFIDENCE: ConfidenceTable = {
  rows: [
    [0.7, 0.92],
    [0.85, 0.99],
  ],
};

/** Cone: share with a flank angle within 4° of the true one: 35 of 36; the other stood where there was no cone. */
export const CONE_CONFIDENCE: ConfidenceTable = { rows: [[0.72, 0.97]] };

/** Plane of the break: share within 4° of the plane nearest to the face: 37 of 40, 72 of 73. */
export const PLANE_CONFIDENCE: ConfidenceTable = {
  rows: [
    [0.9, 0.92],
    [0.97, 0.99],
  ],
};
