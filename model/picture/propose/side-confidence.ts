import type { ConfidenceTable } from "./confidence.ts";

/*
 * Counted on 136 rendered side views of the corpus `propose-dev` (60 breaks; grey card, black, blotched, uneven and rough
 * grounds; six ways of lighting; any turn; 1080 px wide) and, for cones, on the demo mill's too. They are rendered
 * pictures: on a lab's own the shares may be lower.
 */

/** Name and version of the finder: marks say by which one they were proposed. */
export const SIDE_FINDER = "side 1";

/**
 * Edges: share within 1 % of the diameter of the true ones: 21 of 25, 90 of 91; below, 4 of 7, which is too unsure, since
 * everything else of the picture is read from them.
 */
export const EDGES_CONFIDENCE: ConfidenceTable = {
  rows: [
    [0.7, 0.84],
    [0.85, 0.99],
  ],
};

/** Neck: share within 3 % of the true diameter: 15 of 22, 79 of 86; below, 6 of 14, which is too unsure. */
export const NECK_CONFIDENCE: ConfidenceTable = {
  rows: [
    [0.7, 0.68],
    [0.85, 0.92],
  ],
};

/** Cone: share with a flank angle within 4° of the true one: 6 of 7, none where there was no cone. */
export const CONE_CONFIDENCE: ConfidenceTable = { rows: [[0.72, 0.86]] };

/** Plane of the break: share within 4° of the plane nearest to the face: 9 of 13, 29 of 31. */
export const PLANE_CONFIDENCE: ConfidenceTable = {
  rows: [
    [0.9, 0.69],
    [0.97, 0.94],
  ],
};
