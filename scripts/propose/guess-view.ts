import type { Raster } from "../../model/picture/pixels/grey.ts";
import type { ProposeInput, Proposals } from "../../model/picture/propose/proposals.ts";
import { proposeMarks } from "../../model/picture/propose/propose.ts";

export type View = ProposeInput["view"];

export interface GuessedView {
  /** null = the pixels show neither a face nor a wire from the side. */
  readonly view: View | null;
  readonly found: Proposals;
}

/**
 * Which way a picture looks at the wire, by what can be found in it: a round outline makes it an end-on view, a pair of
 * edges a side view. Where both are found the surer one counts, end-on when they are alike.
 */
export function proposeWithGuess(raster: Raster, pxPerMm: number | null): GuessedView {
  const input = { raster, pxPerMm, wireMm: null };
  const end = proposeMarks({ ...input, view: "end_on" });
  const side = proposeMarks({ ...input, view: "side" });
  const [sureEnd, sureSide] = [outlineConfidence(end), outlineConfidence(side)];
  if (sureEnd === 0 && sureSide === 0)
    return { view: null, found: { marks: [], axisDeg: null, says: "Neither a face nor a wire stands out clearly." } };
  return sureEnd >= sureSide ? { view: "end_on", found: end } : { view: "side", found: side };
}

const outlineConfidence = (found: Proposals): number =>
  Math.max(0, ...found.marks.filter((m) => m.feature === "wire_outline").map((m) => m.confidence));
