import { readFile } from "node:fs/promises";
import { join } from "node:path";
import { parseObservationSheets } from "../../model/break/observation-sheet.ts";
import { END_SIDES, type WireBreak } from "../../model/break/wire-break.ts";
import { answer, type BreakModel, type ModelAnswer } from "../../model/classifier/break-model.ts";
import { describeView, numbersOfBreak, viewsToDescribe } from "../../model/classifier/of-break.ts";
import type { ViewNumbers } from "../../model/classifier/view-columns.ts";
import { breakWithUnopenedPictures } from "../../model/measure/paper-record.ts";
import { readPicture, type ReadPicture } from "../propose/read-picture.ts";
import { movedPicture, movedRecord, type Motion } from "./moved-break.ts";

/** A break of the demo mill with its photographs in memory, so that many motions decode them once. */
export interface ReadBreak {
  readonly record: WireBreak;
  readonly pictures: ReadonlyMap<string, ReadPicture>;
}

/** @param folder – with the sheet and its photographs. @param px – longest side at which the pictures are read. */
export async function readBreak(folder: string, px: number): Promise<ReadBreak> {
  const [sheet] = parseObservationSheets(JSON.parse(await readFile(join(folder, "sheet.json"), "utf8")));
  if (sheet === undefined) throw new Error(`${folder} holds no break.`);
  let count = 0;
  const record = breakWithUnopenedPictures(sheet, {
    id: sheet.id,
    newId: () => `mark ${(count += 1)}`,
    at: "",
    by: "",
  });
  const photographs = END_SIDES.flatMap((side) => record.ends[side].photographs);
  const pictures = await Promise.all(
    photographs.map(async ({ id, fileName }) => [id, await readPicture(join(folder, fileName), px)] as const),
  );
  return { record, pictures: new Map(pictures) };
}

/** What a model says of a break of the demo mill after its photographs were taken anew. */
export async function askedAfter(
  motion: Motion,
  { record, pictures }: ReadBreak,
  model: BreakModel,
): Promise<ModelAnswer> {
  const anew = new Map<string, Awaited<ReturnType<typeof movedPicture>>>();
  let by = 1;
  for (const [id, { raster, widthPx }] of pictures) {
    by = widthPx / raster.widthPx;
    const shrunkBy = by;
    const moved = await movedPicture(raster, motion);
    anew.set(id, { raster: moved.raster, move: ([x, y]) => moved.move([x / shrunkBy, y / shrunkBy]) });
  }
  // The marks lie on the photographs in full size.
  const after = movedRecord(record, anew, { ...motion, scale: motion.scale / by });
  const views = viewsToDescribe(after).map(({ side, photograph, outline }): ViewNumbers => ({
    side,
    kind: outline.type === "ellipse" ? "face" : "side",
    values: describeView(anew.get(photograph.id)!.raster, outline, 1),
  }));
  return answer(model, numbersOfBreak(after, views));
}
