import type { BackgroundSpec } from "../background.ts";
import type { Draw } from "./draw.ts";

const plain = { grain: 0, blotch: 0.12 } as const;
const cool = [0.98, 1, 1.03] as const;

/** What lies under and behind the wire. */
export const GROUNDS = {
  "grey-card": (d) => ({ ...plain, grey: d.between(0.1, 0.4), tint: cool }),
  black: (d) => ({ ...plain, grey: d.between(0.008, 0.045), blotch: d.between(0.2, 0.5), tint: cool }),
  blotched: (d) => ({
    grey: d.between(0.05, 0.3),
    blotch: d.between(0.6, 1),
    grain: d.between(0, 0.12),
    tint: [1.04, 1, 0.94],
  }),
  uneven: (d) => ({
    ...plain,
    grey: d.between(0.08, 0.35),
    tint: cool,
    lean: { towardDeg: d.between(0, 360), strength: d.between(0.5, 0.95) },
  }),
  "rough-card": (d) => ({
    grey: d.between(0.12, 0.4),
    blotch: 0.15,
    grain: d.between(0.15, 0.4),
    tint: [1.02, 1, 0.97],
  }),
  "white-card": (d) => ({ ...plain, grey: d.between(0.55, 0.85), tint: [1, 1, 1.01] }),
  "green-mat": (d) => ({ grey: d.between(0.08, 0.2), blotch: 0.1, grain: d.between(0, 0.15), tint: [0.55, 1.1, 0.8] }),
  brushed: (d) => ({
    grey: d.between(0.12, 0.32),
    blotch: 0.15,
    grain: 0,
    tint: [1, 1, 1.02],
    fibre: { deg: d.between(0, 180), pitch: d.between(0.003, 0.008), strength: d.between(0.15, 0.35) },
  }),
  "blue-cloth": (d) => ({
    grey: d.between(0.07, 0.2),
    blotch: 0.25,
    grain: d.between(0.1, 0.25),
    tint: [0.6, 0.85, 1.3],
    fibre: { deg: d.between(0, 180), pitch: d.between(0.005, 0.012), strength: d.between(0.1, 0.25) },
  }),
  bench: (d) => ({
    grey: d.between(0.15, 0.35),
    blotch: d.between(0.3, 0.6),
    grain: 0.05,
    tint: [1.25, 0.95, 0.65],
    lean: { towardDeg: d.between(0, 360), strength: d.between(0.2, 0.6) },
  }),
  "lit-paper": (d) => ({
    grey: d.between(0.4, 0.65),
    blotch: 0.2,
    grain: d.between(0.05, 0.15),
    tint: [1.05, 1, 0.9],
    lean: { towardDeg: d.between(0, 360), strength: d.between(0.3, 0.7) },
  }),
} as const satisfies Readonly<Record<string, (d: Draw) => BackgroundSpec>>;

export type Ground = keyof typeof GROUNDS;
