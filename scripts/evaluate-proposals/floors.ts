import type { Figures } from "./figures.ts";

/** What the figures of held-out pictures must reach. */
export interface Floor {
  readonly view: "end-on" | "side" | "both views";
  readonly words: string;
  readonly holds: (figures: ReadonlyMap<string, Figures>) => boolean | null;
}

const value = (figures: ReadonlyMap<string, Figures>, feature: string, pick: (f: Figures) => number | null) => {
  const f = figures.get(feature);
  return f === undefined || f.shown === 0 ? null : pick(f);
};
const atLeast = (v: number | null, floor: number): boolean | null => (v === null ? null : v >= floor);
const atMost = (v: number | null, limit: number): boolean | null => (v === null ? null : v <= limit);

export const FLOORS: readonly Floor[] = [
  {
    view: "both views",
    words: "wire outline: median overlap at least 0.97",
    holds: (f) =>
      atLeast(
        value(f, "wire_outline", (o) => o.median),
        0.97,
      ),
  },
  {
    view: "both views",
    words: "wire outline: overlap at the 5th percentile at least 0.90",
    holds: (f) =>
      atLeast(
        value(f, "wire_outline", (o) => o.badEnd),
        0.9,
      ),
  },
  {
    view: "end-on",
    words: "wire outline: median overlap at least 0.97",
    holds: (f) =>
      atLeast(
        value(f, "wire_outline", (o) => o.median),
        0.97,
      ),
  },
  {
    view: "end-on",
    words: "wire outline: overlap at the 5th percentile at least 0.90",
    holds: (f) =>
      atLeast(
        value(f, "wire_outline", (o) => o.badEnd),
        0.9,
      ),
  },
  {
    view: "end-on",
    words: "wire outline: proposed on at least 90 % of the pictures",
    holds: (f) =>
      atLeast(
        value(f, "wire_outline", (o) => o.proposed / o.shown),
        0.9,
      ),
  },
  {
    view: "end-on",
    words: "open hole: median overlap at least 0.80",
    holds: (f) =>
      atLeast(
        value(f, "end_hole", (o) => o.median),
        0.8,
      ),
  },
  {
    view: "end-on",
    words: "false holes on at most 2 % of the faces without one",
    holds: (f) => {
      const hole = f.get("end_hole");
      return hole === undefined || hole.without === 0 ? null : hole.falseOnes <= 0.02 * hole.without;
    },
  },
  {
    view: "side",
    words: "neck diameter: median error at most 3 %",
    holds: (f) =>
      atMost(
        value(f, "neck", (o) => o.median),
        0.03,
      ),
  },
  {
    view: "side",
    words: "cone flank: median angle error at most 4 degrees",
    holds: (f) =>
      atMost(
        value(f, "cone_flank", (o) => o.median),
        4,
      ),
  },
];
