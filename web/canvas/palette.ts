import type { MarkState } from "../../model/evidence/observations.ts";
import type { Tone } from "./types.ts";

/**
 * Hues that colour-blind readers tell apart.
 *
 * @source M. Okabe and K. Ito, Color Universal Design: how to make figures and presentations that are friendly to
 * colorblind people (2008); from memory.
 */
export const SAFE_HUES = {
  orange: "#E69F00",
  skyBlue: "#56B4E9",
  bluishGreen: "#009E73",
  yellow: "#F0E442",
  blue: "#0072B2",
  vermilion: "#D55E00",
  reddishPurple: "#CC79A7",
} as const;

/** Dark under every line and light on top: seen on copper, bright steel and black alike. */
export const HALO = "rgba(14, 16, 18, 0.78)";
export const CORE_WHITE = "#FFFFFF";
export const LABEL_GROUND = "rgba(18, 20, 22, 0.84)";
export const LABEL_TEXT = "#F4F5F5";
export const LABEL_QUIET = "#C9CED2";

/** How the line of a mark is drawn; widths in stage pixels. */
export interface LineLook {
  readonly core: string;
  readonly coreWidth: number;
  readonly haloWidth: number;
  readonly opacity: number;
}

/** Orange alone means "needs you"; a plain mark is sky blue, the selected one white and thicker. */
export const TONE_LOOK: Readonly<Record<Tone, LineLook>> = {
  plain: { core: SAFE_HUES.skyBlue, coreWidth: 1.75, haloWidth: 4.25, opacity: 1 },
  selected: { core: CORE_WHITE, coreWidth: 2.75, haloWidth: 6, opacity: 1 },
  proposal: { core: SAFE_HUES.orange, coreWidth: 2, haloWidth: 4.5, opacity: 1 },
  dim: { core: "#C9CED2", coreWidth: 1.25, haloWidth: 3.25, opacity: 0.6 },
};

/** Line style by state, stage pixels of line and gap: solid, dashed, dotted. */
export const STATE_DASH: Readonly<Record<MarkState, readonly number[]>> = {
  present: [],
  absent: [9, 6],
  not_assessable: [1.5, 5],
};

/** Text on the stage; never below 13 px. */
export const LABEL_FONT = "13px system-ui, sans-serif";
export const LABEL_FONT_STRONG = "600 13px system-ui, sans-serif";
