import type { ObservationSheet } from "../model/break/observation-sheet-types.ts";
import { sheetToBreak } from "../model/break/observation-sheet-break.ts";
import type { Photograph } from "../model/break/wire-break.ts";
import type { Observations } from "../model/evidence/observations.ts";
import { observe } from "../model/measure/observe.ts";

/** A picture that is named by a sheet and never opened: its size is unknown, its scale is the one the sheet states. */
const unopened = (file: string): Photograph => ({
  id: file,
  hash: "",
  fileName: file,
  mediaType: "",
  byteLength: 0,
  widthPx: 0,
  heightPx: 0,
  orientation: 1,
  capturedAt: null,
  view: "other",
  turnDeg: 0,
  scale: null,
  axisDeg: null,
  rendered: false,
});

/**
 * What the evidence room may know of a sheet: given measures, and for shapes without them the measures computed from
 * the drawn geometry and the stated scale. The sheet goes the way every break goes, so that the command line and the
 * bench say the same.
 */
export function observeSheet(sheet: ObservationSheet): Observations {
  let count = 0;
  const files = sheet.ends.flatMap((end) => end.photos.map((photo) => photo.file));
  return observe(
    sheetToBreak(sheet, {
      id: sheet.id,
      newId: () => `mark ${(count += 1)}`,
      at: "",
      by: "",
      photographs: new Map(files.map((file) => [file, unopened(file)])),
    }),
  );
}
