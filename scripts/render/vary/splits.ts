import type { Ground } from "./grounds.ts";
import type { LightFamily } from "./light-families.ts";

export interface Split {
  /** First seed and how many there are; no two splits share one. */
  readonly first: number;
  readonly last: number;
  readonly lights: readonly LightFamily[];
  readonly grounds: readonly Ground[];
}

const DEVELOPED_LIGHTS = ["ring", "raking", "ring-and-lamp", "two-necks", "dome", "soft-box"] as const;
const DEVELOPED_GROUNDS = ["grey-card", "black", "blotched", "uneven", "rough-card"] as const;

/**
 * Invented breaks kept apart. What is tuned on `propose-dev` and `model-train` is judged on breaks, lights and grounds
 * that neither ever showed; the two held-out splits share nothing with each other either.
 */
export const SPLITS = {
  "propose-dev": { first: 1, last: 999, lights: DEVELOPED_LIGHTS, grounds: DEVELOPED_GROUNDS },
  "propose-held-out": {
    first: 5001,
    last: 5999,
    lights: ["coaxial", "low-ring", "window"],
    grounds: ["white-card", "green-mat", "brushed"],
  },
  "model-train": { first: 10001, last: 19999, lights: DEVELOPED_LIGHTS, grounds: DEVELOPED_GROUNDS },
  "model-test": {
    first: 90001,
    last: 90999,
    lights: ["three-lamps", "tube", "opposed"],
    grounds: ["blue-cloth", "bench", "lit-paper"],
  },
} as const satisfies Readonly<Record<string, Split>>;

export type SplitId = keyof typeof SPLITS;

/** The split a seed belongs to. @returns null for a seed of none. */
export function splitOf(seed: number): SplitId | null {
  for (const id of Object.keys(SPLITS) as SplitId[]) if (seed >= SPLITS[id].first && seed <= SPLITS[id].last) return id;
  return null;
}
