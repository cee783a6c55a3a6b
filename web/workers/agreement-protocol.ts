import type { WireBreak } from "../../model/break/wire-break.ts";
import type { AgreementFigures, FigureBreak } from "../../model/reference/second/figures.ts";
import type { ReadBreak } from "../../model/reference/second/read-break.ts";

export type AgreementRequests = {
  /** What two readers made of each break; breaks that nobody read a second time are left out. */
  readonly compare: { readonly input: readonly WireBreak[]; readonly output: readonly ReadBreak[] };
  readonly figures: { readonly input: readonly FigureBreak[]; readonly output: AgreementFigures };
};
