import type { ConfidenceTable } from "./confidence.ts";

/** Name and version of the finder: marks say by which one they were proposed. */
export const SIDE_FINDER = "side 1";

/** Edges: share within 1 % of the diameter of the true ones at both ends. */
export const EDGES_CONFIDENCE: ConfidenceTable = { rows: [[0.5, 0.9]] };

/** Neck: share within 3 % of the true diameter. */
export const NECK_CONFIDENCE: ConfidenceTable = { rows: [[0.5, 0.9]] };

/** Cone: share with a flank angle within 4° where there is a cone. */
export const CONE_CONFIDENCE: ConfidenceTable = { rows: [[0.5, 0.9]] };

/** Plane of the break: share within 4° where the face is a plane. */
export const PLANE_CONFIDENCE: ConfidenceTable = { rows: [[0.5, 0.9]] };
