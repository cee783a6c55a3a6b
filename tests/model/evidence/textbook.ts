import { parseObservationSheets, sheetToObservations } from "../../../model/break/observation-sheet.ts";
import type { Observations } from "../../../model/evidence/observations.ts";
import cases from "./textbook-cases.json" with { type: "json" };

export interface TextbookCase {
  readonly id: string;
  readonly acceptable: readonly string[];
  readonly mustNot: readonly string[];
  readonly mustAsk: readonly string[];
  readonly rules: readonly string[];
  readonly expectedOrigin: string | null;
  readonly observations: Observations;
}

/** The constructed textbook cases, read as the command line reads them. */
export const TEXTBOOK: readonly TextbookCase[] = cases.map((c) => {
  const [sheet] = parseObservationSheets(c);
  if (sheet === undefined) throw new RangeError(`Case ${c.id} could not be read.`);
  return {
    id: c.id,
    acceptable: c.acceptable_types,
    mustNot: c.must_not,
    mustAsk: c.must_ask,
    rules: c.rules,
    expectedOrigin: c.expected_origin,
    observations: sheetToObservations(sheet),
  };
});

export const textbookCase = (id: string): TextbookCase => {
  const found = TEXTBOOK.find((c) => c.id === id);
  if (found === undefined) throw new RangeError(`No textbook case ${id}.`);
  return found;
};
