import { parseObservationSheets } from "../../model/break/observation-sheet.ts";
import type { ObservationSheet } from "../../model/break/observation-sheet-types.ts";
import { jsonFault } from "../../model/break/json-fault.ts";
import { RecordError, type FieldFault } from "../../model/break/record-error.ts";
import { paperRecord } from "../../model/measure/paper-record.ts";
import type { App } from "../shell/app.svelte.ts";
import { importedBreak } from "./import-record.ts";

/** What a file of observation sheets would do to this bench, said before anything is written. */
export type SheetTrial =
  | { readonly kind: "refused"; readonly fileName: string; readonly faults: readonly FieldFault[] }
  | {
      readonly kind: "ready";
      readonly fileName: string;
      readonly sheets: readonly ObservationSheet[];
      /** Numbers that are on this bench already; these sheets are left alone. */
      readonly here: readonly string[];
    };

const MAX_BYTES = 64 * 1024 * 1024;

/** Reads and checks a file of observation sheets; nothing is written. */
export async function trySheets(file: File, numbers: readonly string[]): Promise<SheetTrial> {
  const refused = (sentence: string): SheetTrial => ({
    kind: "refused",
    fileName: file.name,
    faults: [{ code: "wrong-field", field: "", sentence }],
  });
  if (file.size > MAX_BYTES) return refused("The file is larger than 64 MB. Split it.");
  const text = await file.text();
  const fault = jsonFault(text);
  if (fault !== null)
    return refused(`This is not whole JSON. Line ${fault.line}, column ${fault.column}: ${fault.sentence}`);
  const json: unknown = JSON.parse(text);
  try {
    const known = new Set(numbers);
    const all = parseObservationSheets(json);
    return {
      kind: "ready",
      fileName: file.name,
      sheets: all.filter((sheet) => !known.has(sheet.id)),
      here: all.filter((sheet) => known.has(sheet.id)).map((sheet) => sheet.id),
    };
  } catch (error) {
    if (error instanceof RecordError) return { kind: "refused", fileName: file.name, faults: error.faults };
    throw error;
  }
}

/** Files all sheets of a trial in one step: either every one is on the disk or none. @throws StoreError. */
export async function bringSheetsIn(app: App, sheets: readonly ObservationSheet[]): Promise<number> {
  const at = app.surroundings.now();
  const made = sheets.map((sheet) => {
    const { newId } = app.surroundings;
    return importedBreak(paperRecord(sheet, { id: newId(), newId, at, by: app.reader }), app.reader, at);
  });
  await app.bench.commit({ entries: made.map((m) => m.entry), records: made });
  app.noteSummaries(made.map((m) => m.summary));
  return made.length;
}
