import type { ObservationSheet } from "../model/break/observation-sheet-types.ts";
import type { Observations } from "../model/evidence/observations.ts";
import { observe } from "../model/measure/observe.ts";
import { breakWithUnopenedPictures } from "../model/measure/paper-record.ts";

/**
 * What the evidence room may know of a sheet: given measures, and for shapes without them the measures computed from
 * the drawn geometry and the stated scale. The sheet goes the way every break goes, so that the command line and the
 * bench say the same.
 */
export function observeSheet(sheet: ObservationSheet): Observations {
  let count = 0;
  return observe(
    breakWithUnopenedPictures(sheet, { id: sheet.id, newId: () => `mark ${(count += 1)}`, at: "", by: "" }),
  );
}
