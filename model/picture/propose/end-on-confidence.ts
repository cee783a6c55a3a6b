import type { ConfidenceTable } from "./confidence.ts";

/** Name and version of the finder: marks say by which one they were proposed. */
export const END_ON_FINDER = "end-on 1";

/**
 * Outline: share with an overlap (intersection over union) of at least 0.95 with the true ellipse.
 *
 * @source rendered end-on photographs of `npm run evaluate-proposals -- --split propose-dev --calibrate`
 */
export const OUTLINE_CONFIDENCE: ConfidenceTable = { rows: [[0.55, 0.9]] };

/** Open hole: share with an overlap of at least 0.7 with the true hole; a hole where there is none counts as wrong. */
export const HOLE_CONFIDENCE: ConfidenceTable = { rows: [[0.4, 0.9]] };
