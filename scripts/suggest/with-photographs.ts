import { join } from "node:path";
import type { ObservationSheet } from "../../model/break/observation-sheet-types.ts";
import type { End, Mark, Photograph, WireBreak } from "../../model/break/wire-break.ts";
import { END_SIDES } from "../../model/break/wire-break.ts";
import { DESCRIBED_PX, describeView, viewsToDescribe } from "../../model/classifier/of-break.ts";
import type { ViewNumbers } from "../../model/classifier/view-columns.ts";
import { breakWithUnopenedPictures } from "../../model/measure/paper-record.ts";
import { PictureError } from "../../model/picture/picture-error.ts";
import { enlarge } from "../../model/picture/propose/enlarge.ts";
import { proposeMarks } from "../../model/picture/propose/propose.ts";
import { readPicture, type ReadPicture } from "../propose/read-picture.ts";

/** A sheet with what its photographs say. */
export interface SheetWithPhotographs {
  readonly record: WireBreak;
  readonly views: readonly ViewNumbers[];
  /** Photographs that could not be read, in words; the break is judged without them. */
  readonly faults: readonly string[];
}

/**
 * Opens the photographs of a sheet in a folder. With `propose`, every mark proposed in the pixels of a feature that the
 * sheet does not mention on that end is taken, as a reader would who agrees with all of them.
 */
export async function withPhotographs(
  sheet: ObservationSheet,
  folder: string,
  propose: boolean,
): Promise<SheetWithPhotographs> {
  let count = 0;
  const newId = (): string => `mark ${(count += 1)}`;
  const bare = breakWithUnopenedPictures(sheet, { id: sheet.id, newId, at: "", by: "" });
  const faults: string[] = [];
  const opened = new Map<string, ReadPicture>();
  for (const side of END_SIDES)
    for (const { id, fileName } of bare.ends[side].photographs) {
      const picture = await open(folder, fileName, faults);
      if (picture !== null) opened.set(id, picture);
    }
  const ends = { machine: bare.ends.machine, takeUp: bare.ends.takeUp };
  for (const side of END_SIDES) ends[side] = withSizes(ends[side], opened);
  if (propose) for (const side of END_SIDES) ends[side] = withProposals(ends[side], opened, newId);
  const record = { ...bare, ends };
  const views = viewsToDescribe(record).flatMap(({ side, photograph, outline }): ViewNumbers[] => {
    const picture = opened.get(photograph.id);
    if (picture === undefined) return [];
    const values = describeView(picture.raster, outline, picture.widthPx / picture.raster.widthPx);
    return [{ side, kind: outline.type === "ellipse" ? "face" : "side", values }];
  });
  return { record, views, faults };
}

async function open(folder: string, fileName: string, faults: string[]): Promise<ReadPicture | null> {
  // A sheet is not trusted: its photographs lie in the folder, nowhere else.
  if (/[/\\]|^\.{1,2}$/.test(fileName)) {
    faults.push(`${fileName}: a photograph is named without a folder.`);
    return null;
  }
  try {
    return await readPicture(join(folder, fileName), DESCRIBED_PX);
  } catch (error) {
    if (!(error instanceof PictureError)) throw error;
    faults.push(`${join(folder, fileName)}: ${error.message}`);
    return null;
  }
}

const withSizes = (end: End, opened: ReadonlyMap<string, ReadPicture>): End => ({
  ...end,
  photographs: end.photographs.map((p) => {
    const picture = opened.get(p.id);
    return picture === undefined ? p : { ...p, widthPx: picture.widthPx, heightPx: picture.heightPx };
  }),
});

function withProposals(end: End, opened: ReadonlyMap<string, ReadPicture>, newId: () => string): End {
  const marks: Mark[] = [...end.marks];
  const photographs: Photograph[] = [];
  for (const photograph of end.photographs) {
    const picture = opened.get(photograph.id);
    const view = photograph.view === "end_on" ? "end_on" : photograph.view.startsWith("side_") ? "side" : null;
    if (picture === undefined || view === null) {
      photographs.push(photograph);
      continue;
    }
    const shrunkBy = picture.widthPx / picture.raster.widthPx;
    const stated = photograph.scale?.method === "stated" ? photograph.scale.pxPerMm.value : null;
    const pxPerMm = stated === null ? null : stated / shrunkBy;
    const found = proposeMarks({ raster: picture.raster, view, pxPerMm, wireMm: null });
    photographs.push({ ...photograph, axisDeg: photograph.axisDeg ?? found.axisDeg });
    for (const proposed of found.marks) {
      // An outline belongs to its picture; anything else that the reader has spoken of stays as it is.
      const spoken = end.marks.some(
        (m) => m.feature === proposed.feature && (m.feature !== "wire_outline" || m.photographId === photograph.id),
      );
      if (spoken) continue;
      const geometry = enlarge(proposed.geometry, shrunkBy);
      const { feature } = proposed;
      marks.push({ id: newId(), feature, state: "present", photographId: photograph.id, geometry, given: {}, note: "", by: "", at: "", proposed: { ...proposed, geometry } }); // prettier-ignore
    }
  }
  return { ...end, photographs, marks };
}
