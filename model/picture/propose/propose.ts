import { proposeEndOn } from "./end-on.ts";
import type { ProposeInput, Proposals } from "./proposals.ts";
import { proposeSide } from "./side.ts";

/**
 * Marks proposed from the pixels of one picture. They count for nothing until a reader takes or corrects them.
 *
 * @returns marks in px of the raster, upright; an empty list with a sentence when the picture leaves it open.
 */
export function proposeMarks(input: ProposeInput): Proposals {
  return input.view === "end_on" ? proposeEndOn(input) : proposeSide(input);
}
