import type { ConfidenceTable } from "./confidence.ts";

/** Name and version of the finder: marks say by which one they were proposed. */
export const END_ON_FINDER = "end-on 1";

/*
 * How the tables were made: every find on the rendered end-on photographs of propose-dev, judged right or wrong and
 * grouped by worth (`npm run evaluate-proposals -- --split propose-dev --calibrate`); the share is (right + 1) /
 * (found + 2), so that a few right ones never make a certainty (rule of succession, P.-S. Laplace 1814; from memory).
 */

/** Outline: share with an overlap (intersection over union) of at least 0.95 with the true ellipse. */
export const OUTLINE_CONFIDENCE: ConfidenceTable = {
  rows: [
    [0.4, 0.96], // 24 of 24
    [0.8, 0.99], // 81 of 81
  ],
};

/** Open hole: share with an overlap of at least 0.7 with the true hole; a hole where there is none counts as wrong. */
export const HOLE_CONFIDENCE: ConfidenceTable = {
  rows: [
    [0.5, 0.8], // 3 of 3
    [0.9, 0.85], // 10 of 11
  ],
};

/** Inner edge of a shear lip: share with a mean distance of at most 0.05 D; one where there is none counts as wrong. */
export const LIP_CONFIDENCE: ConfidenceTable = {
  rows: [[0.85, 0.89]], // 7 of 7
};
