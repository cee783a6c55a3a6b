import { readFile } from "node:fs/promises";
import { join } from "node:path";
import { parseObservationSheets } from "../../model/break/observation-sheet.ts";
import { END_SIDES } from "../../model/break/wire-break.ts";
import { answer, type BreakModel, type ModelAnswer } from "../../model/classifier/break-model.ts";
import { describeView, numbersOfBreak, viewsToDescribe } from "../../model/classifier/of-break.ts";
import type { ViewNumbers } from "../../model/classifier/view-columns.ts";
import { breakWithUnopenedPictures } from "../../model/measure/paper-record.ts";
import { readPicture } from "../propose/read-picture.ts";
import { movedPicture, movedRecord, type Motion } from "./moved-break.ts";

/**
 * What a model says of a break of the demo mill after its photographs were taken anew.
 *
 * @param folder – with the sheet and its photographs. @param px – longest side at which the pictures are read.
 */
export async function askedAfter(motion: Motion, folder: string, model: BreakModel, px: number): Promise<ModelAnswer> {
  const [sheet] = parseObservationSheets(JSON.parse(await readFile(join(folder, "sheet.json"), "utf8")));
  if (sheet === undefined) throw new Error(`${folder} holds no break.`);
  let count = 0;
  const record = breakWithUnopenedPictures(sheet, {
    id: sheet.id,
    newId: () => `mark ${(count += 1)}`,
    at: "",
    by: "",
  });
  const pictures = new Map<string, Awaited<ReturnType<typeof movedPicture>>>();
  let by = 1;
  for (const side of END_SIDES)
    for (const { id, fileName } of record.ends[side].photographs) {
      const { raster, widthPx } = await readPicture(join(folder, fileName), px);
      by = widthPx / raster.widthPx;
      const moved = await movedPicture(raster, motion);
      pictures.set(id, { raster: moved.raster, move: ([x, y]) => moved.move([x / by, y / by]) });
    }
  // The marks lie on the photographs in full size.
  const after = movedRecord(record, pictures, { ...motion, scale: motion.scale / by });
  const views = viewsToDescribe(after).map(({ side, photograph, outline }): ViewNumbers => ({
    side,
    kind: outline.type === "ellipse" ? "face" : "side",
    values: describeView(pictures.get(photograph.id)!.raster, outline, 1),
  }));
  return answer(model, numbersOfBreak(after, views));
}
