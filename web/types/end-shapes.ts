import type { EndShape } from "../../model/evidence/break-types/page.ts";

/** One end in section on a 160 × 80 grid, the break toward the right; drawn for this project. */
export interface EndDrawing {
  /** Outline of the metal, filled and stroked. */
  readonly metal: string;
  /** What is seen on it: lines only. */
  readonly detail: string;
}

const TOP = "M0 14";
const BOTTOM = "L0 66";
/** A wire whose face is the given path, from the upper rim to the lower one. */
const wire = (face: string, detail = ""): EndDrawing => ({ metal: `${TOP} ${face} ${BOTTOM}`, detail });
const FLAT = "L128 14 L128 66";

export const END_SHAPES: Readonly<Record<EndShape, EndDrawing>> = {
  "necked-cup": wire("L60 14 C90 14 98 26 118 24 L110 32 L109 40 L110 48 L118 56 C98 54 90 66 60 66", "M109 33v14"),
  "necked-cone": wire(
    "L60 14 C90 14 96 24 108 26 L120 33 L120 47 L108 54 C96 56 90 66 60 66",
    "M120 35l-2 2 2 2-2 2 2 2-2 2",
  ),
  "solid-cone": wire("L102 14 L104 17 L140 40 L104 63 L102 66", "M112 24l4 4M112 56l4-4M122 30l3 3M122 50l3-3"),
  "conical-hollow": wire("L130 14 L128 17 L92 40 L128 63 L130 66", "M118 20l-4 5M118 60l-4-5M106 28l-3 4M106 52l-3-4"),
  "deep-hole": wire(
    "L126 14 L126 28 C110 26 100 29 78 30 C70 34 70 46 78 50 C100 51 110 54 126 52 L126 66",
    "M84 34c-4 3-4 9 0 12",
  ),
  particle: wire(
    "L104 14 C110 24 116 28 118 32 C130 31 131 49 118 48 C116 52 110 56 104 66",
    "M112 40a8 8 0 1 0 16 0a8 8 0 1 0-16 0",
  ),
  socket: wire("L130 14 C126 24 122 28 120 31 C108 32 108 48 120 49 C122 52 126 56 130 66", "M116 40a8 8 0 0 1 3-7"),
  slant: wire("L98 14 L142 66", "M106 24l-6 3M116 36l-6 3M126 48l-6 3"),
  stepped: wire("L96 14 L96 26 L112 30 L112 46 L132 52 L132 66", "M0 20h60M0 24h40"),
  notched: wire("L92 14 L98 22 L106 14 L112 14 C118 30 126 48 128 66", "M98 22l10 6M98 22l8 12"),
  "flat-band": wire(FLAT, "M104 14v52M116 14v52M128 14v52"),
  swirl: wire(FLAT, "M20 66c10-20 4-32 16-52M48 66c10-20 4-32 16-52M76 66c10-20 4-32 16-52M104 66c10-20 4-32 16-52"),
  "bent-lip": {
    metal: "M0 22 L70 22 C96 22 110 14 122 0 L146 20 C138 24 140 32 132 34 C116 60 100 74 70 74 L0 74",
    detail: "M122 0c4 8 12 16 24 20",
  },
  arcs: wire(
    FLAT,
    "M128 20a10 10 0 0 1-10-6M128 28a18 18 0 0 1-18-14M128 37a26 26 0 0 1-26-23M128 46a34 34 0 0 1-34-32",
  ),
  "side-cracks": wire(
    "L124 14 L128 20 L124 27 L128 34 L124 40 L128 47 L124 54 L128 60 L124 66",
    "M30 14v8M52 14v6M74 14v10M96 14v7M110 14v9M36 66v-7M60 66v-10M84 66v-6M104 66v-9",
  ),
  grains: wire(
    "L116 14 L128 22 L116 32 L128 40 L116 50 L128 58 L116 66",
    "M116 32L96 30L86 20L94 14M96 30L86 42L96 52L116 50M86 42L62 42M96 52L88 66M86 20L64 22",
  ),
  thumbnail: wire(FLAT, "M60 14c2 3 60 3 68 0M84 14v5M100 14v7M116 14v5M128 38a40 26 0 0 1-34-24"),
  pitted: wire(
    "L24 14 C26 22 38 22 40 14 L64 14 C66 26 84 26 86 14 L126 14 L126 66",
    "M75 24l4 10-6 8 4 8M79 34l8 5M102 14l2 10-4 6 3 7",
  ),
  split: wire("L136 10 L136 22 L60 36 L60 44 L136 58 L136 70", "M60 40H18M90 26h34M90 54h34M100 18h26M100 62h26"),
  bead: {
    metal: "M0 26 L74 26 C82 14 104 10 116 20 C130 30 130 50 116 60 C104 70 82 66 74 54 L0 54",
    detail: "M100 28c8-2 14 4 15 10",
  },
  unseen: { metal: "M0 14 L70 14 M0 66 L70 66", detail: "M82 14h6M96 14h6M82 66h6M96 66h6M110 20v6M110 34v6M110 48v6" },
};
