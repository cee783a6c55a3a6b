import { sheetToBreak, type SheetImport } from "../break/observation-sheet-break.ts";
import type { ObservationSheet } from "../break/observation-sheet-types.ts";
import type { End, EndSide, Mark, Photograph, WireBreak } from "../break/wire-break.ts";
import type { MeasureValue } from "../evidence/observations.ts";
import { measuresOf } from "./measures.ts";

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

/** The break a sheet describes, its pictures named but not opened, so that drawn shapes can be measured. */
export function breakWithUnopenedPictures(sheet: ObservationSheet, by: Omit<SheetImport, "photographs">): WireBreak {
  const files = sheet.ends.flatMap((end) => end.photos.map((photo) => photo.file));
  return sheetToBreak(sheet, { ...by, photographs: new Map(files.map((file) => [file, unopened(file)])) });
}

/**
 * An old paper record as a break of the bench: the shapes of the sheet are measured once and kept as stated measures,
 * because the pictures they lie on are not here. It weighs the same as the sheet on the command line.
 */
export function paperRecord(sheet: ObservationSheet, by: Omit<SheetImport, "photographs">): WireBreak {
  const drawn = breakWithUnopenedPictures(sheet, by);
  return {
    ...drawn,
    ends: { machine: withoutPictures(drawn, "machine"), takeUp: withoutPictures(drawn, "takeUp") },
  };
}

function withoutPictures(wireBreak: WireBreak, side: EndSide): End {
  const end = wireBreak.ends[side];
  const views = [...(end.statedViews ?? []), ...end.photographs.map((p) => p.view)];
  return {
    ...end,
    photographs: [],
    statedViews: [...new Set(views)],
    marks: end.marks.map((mark) => ({
      ...mark,
      photographId: null,
      geometry: null,
      given: stated(mark, wireBreak, side),
    })),
  };
}

function stated(mark: Mark, wireBreak: WireBreak, side: EndSide): Readonly<Record<string, MeasureValue>> {
  const end = wireBreak.ends[side];
  const photograph = end.photographs.find((p) => p.id === mark.photographId) ?? null;
  const computed = measuresOf(mark, { photograph, end, side, wireBreak }).map((m): [string, MeasureValue] => [
    m.key,
    m.value,
  ]);
  return { ...Object.fromEntries(computed), ...mark.given };
}
