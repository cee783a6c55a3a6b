import { readFile } from "node:fs/promises";
import type { ObservationSheet } from "../../model/break/observation-sheet-types.ts";
import { answer, type BreakModel, type ModelAnswer } from "../../model/classifier/break-model.ts";
import { readModelFile } from "../../model/classifier/model-file.ts";
import { numbersOfBreak } from "../../model/classifier/of-break.ts";
import { COLUMN_NAMES } from "../../model/classifier/vector.ts";
import { suggest } from "../../model/evidence/suggest.ts";
import type { Suggestion } from "../../model/evidence/suggestion.ts";
import { observe } from "../../model/measure/observe.ts";
import { withPhotographs } from "./with-photographs.ts";

const SHIPPED = new URL("../../model/classifier/shipped/endpair.onnx", import.meta.url);

/**
 * @param file – null: the model that comes with Endpair.
 * @throws ClassifierError when the file is no model of this version.
 */
export async function modelIn(file: string | null): Promise<BreakModel> {
  return readModelFile(Uint8Array.from(await readFile(file ?? SHIPPED)), COLUMN_NAMES);
}

/** A sheet weighed with its photographs, and what earlier breaks say. */
export async function weighedWithPhotographs(
  sheet: ObservationSheet,
  folder: string,
  propose: boolean,
  model: BreakModel,
): Promise<{ readonly suggestion: Suggestion; readonly said: ModelAnswer; readonly faults: readonly string[] }> {
  const { record, views, faults } = await withPhotographs(sheet, folder, propose);
  return { suggestion: suggest(observe(record)), said: answer(model, numbersOfBreak(record, views)), faults };
}
