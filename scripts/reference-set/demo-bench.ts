import { createHash } from "node:crypto";
import { readdir, readFile } from "node:fs/promises";
import { join } from "node:path";
import { applyEdit, type Edit } from "../../model/break/edits.ts";
import { sheetToBreak } from "../../model/break/observation-sheet-break.ts";
import { parseObservationSheets } from "../../model/break/observation-sheet.ts";
import type { Photograph, WireBreak } from "../../model/break/wire-break.ts";
import type { Verdict } from "../../model/evidence/break-type-ids.ts";
import { suggest } from "../../model/evidence/suggest.ts";
import { observe } from "../../model/measure/observe.ts";
import { readerOf } from "../../model/picture/byte-reader.ts";
import { readCameraData } from "../../model/picture/camera-data.ts";
import { readPictureHeader } from "../../model/picture/sniff.ts";
import { uprightSize } from "../../model/picture/upright.ts";
import type { LogEntry } from "../../web/storage/contract.ts";

export interface MadeBreak {
  readonly record: WireBreak;
  readonly log: readonly LogEntry[];
  readonly suggested: string;
  /** Bytes of the photographs by hash. */
  readonly originals: ReadonlyMap<string, Uint8Array<ArrayBuffer>>;
}

const AT = "2026-03-10T08:00:00Z";

/** The invented breaks of the demo mill, each confirmed as the type it was invented for. */
export async function demoBreaks(samples: string): Promise<readonly MadeBreak[]> {
  const folders = (await readdir(samples)).filter((name) => /^D-\d+$/.test(name)).sort();
  const made: MadeBreak[] = [];
  for (const name of folders) made.push(await demoBreak(join(samples, name)));
  return made;
}

async function demoBreak(folder: string): Promise<MadeBreak> {
  const json = async (file: string): Promise<unknown> => JSON.parse(await readFile(join(folder, file), "utf8"));
  const [sheet] = parseObservationSheets(await json("sheet.json"));
  const { verdict } = (await json("expected.json")) as { readonly verdict: Verdict };
  if (sheet === undefined) throw new Error(`${folder} holds no sheet.`);
  const originals = new Map<string, Uint8Array<ArrayBuffer>>();
  const photographs = new Map<string, Photograph>();
  for (const { file } of sheet.ends.flatMap((end) => end.photos)) {
    const bytes = Uint8Array.from(await readFile(join(folder, file)));
    const photograph = await photographOf(file, bytes);
    originals.set(photograph.hash, bytes);
    photographs.set(file, photograph);
  }
  let count = 0;
  const id = `demo-${sheet.id}`;
  const newId = () => `${id}-${++count}`;
  const start = sheetToBreak(sheet, { id, newId, at: AT, by: "demo mill", photographs });
  const suggestion = suggest(observe(start));
  const edit: Edit = {
    kind: "add-confirmation",
    confirmation: {
      kind: "confirmed",
      id: newId(),
      type: verdict,
      means: ["both-ends-microscope"],
      reason: "invented for this type",
      by: "demo mill",
      at: AT,
      suggestion,
      revision: start.revision,
    },
  };
  const { next } = applyEdit({ ...start, demo: true }, edit, AT);
  const entry: LogEntry = {
    seq: 1,
    breakId: id,
    revision: next.revision,
    edit,
    inverse: null,
    origin: "confirmation",
    of: null,
    by: "demo mill",
    at: AT,
  };
  return { record: next, log: [entry], suggested: suggestion.verdict, originals };
}

/** What the bench keeps of a picture file, with nothing set by a person yet. */
export async function photographOf(fileName: string, bytes: Uint8Array<ArrayBuffer>): Promise<Photograph> {
  const reader = readerOf(bytes);
  const header = await readPictureHeader(reader, "whole");
  const { orientation, capturedAt } = await readCameraData(reader, header);
  const MEDIA = { jpeg: "image/jpeg", png: "image/png", webp: "image/webp", tiff: "image/tiff", bmp: "image/bmp" };
  return {
    id: `photo-${fileName}`,
    hash: createHash("sha256").update(bytes).digest("hex"),
    fileName,
    mediaType: MEDIA[header.kind],
    byteLength: bytes.byteLength,
    ...uprightSize(header.widthPx, header.heightPx, orientation),
    orientation,
    capturedAt,
    view: "other",
    turnDeg: 0,
    scale: null,
    axisDeg: null,
    rendered: true,
  };
}
