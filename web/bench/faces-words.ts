import type { FaceFit } from "../../model/break/wire-break.ts";
import type { FiredRule, Suggestion } from "../../model/evidence/suggestion.ts";

export const FIT_SAYS: Readonly<Record<FaceFit["says"], string>> = {
  "belong-together": "The faces fit: they look like one break",
  "do-not-fit": "The faces do not fit",
  "cannot-tell": "Cannot tell from these photographs",
};

/** What a person judged from the photographs, as the sheet says it. */
export const JUDGED = {
  yes: "Judged from the photographs: they belong together.",
  no: "Judged from the photographs: they do not belong together.",
  unsure: "Judged from the photographs: not sure.",
  not: "Not judged by a person.",
} as const;

/** Notes in which the comparison of the faces and the judgement of a person pull apart: shown as cautions. */
export const facesCautions = (suggestion: Pick<Suggestion, "notes">): readonly FiredRule[] =>
  suggestion.notes.filter((note) => note.rule === "R109" || note.rule === "R110");

/** The kept comparison in one line, with what it was held against. */
export const keptFitLine = ({ says, score, finder }: FaceFit): string =>
  `${FIT_SAYS[says]} (laid over each other by machine, score ${score.toFixed(2)}, ${finder}, held against rendered pairs).`;
