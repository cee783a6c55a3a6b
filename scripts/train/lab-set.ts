import { openAsBlob } from "node:fs";
import { numbersOfBreak, viewsToDescribe, describeView, DESCRIBED_PX } from "../../model/classifier/of-break.ts";
import type { NumberedBreak } from "../../model/classifier/set-of-breaks.ts";
import type { ViewNumbers } from "../../model/classifier/view-columns.ts";
import type { WireBreak } from "../../model/break/wire-break.ts";
import { PictureError } from "../../model/picture/picture-error.ts";
import { confirmedType } from "../../model/reference/levels.ts";
import { checkBenchFile } from "../../web/storage/check-bench-file.ts";
import { readBreakFile } from "../../web/storage/read-break-file.ts";
import { readFile } from "../../web/storage/zip-reading.ts";
import { readPictureBytes } from "../propose/read-picture.ts";

/** The confirmed breaks of a bench file in numbers, and what could not be read of it. */
export interface LabSet {
  readonly breaks: readonly (NumberedBreak & { readonly number: string })[];
  /** Breaks that nobody has confirmed; nothing is learnt from them. */
  readonly unconfirmed: number;
  /** Plain sentences; a view that cannot be read leaves its numbers missing. */
  readonly faults: readonly string[];
}

/** @throws BenchFileError with the reason; ENOENT and the like from the disk. */
export async function labSet(path: string): Promise<LabSet> {
  const file = await openAsBlob(path);
  const checked = await checkBenchFile(file, {});
  const faults: string[] = [];
  const breaks: (NumberedBreak & { readonly number: string })[] = [];
  let unconfirmed = 0;
  for (const entry of checked.breaks) {
    const { record } = readBreakFile(entry.filename, await readFile(entry, undefined, true));
    const type = confirmedType(record);
    if (type === null || record.binnedAt !== null) {
      unconfirmed++;
      continue;
    }
    const views = await viewsOf(record, async (hash) => {
      const original = checked.originals.get(hash);
      return original === undefined ? null : readFile(original.entry, undefined, true);
    }, faults); // prettier-ignore
    breaks.push({ id: record.id, number: record.number, type, vector: numbersOfBreak(record, views) });
  }
  return { breaks, unconfirmed, faults };
}

async function viewsOf(
  record: WireBreak,
  original: (hash: string) => Promise<Uint8Array<ArrayBuffer> | null>,
  faults: string[],
): Promise<readonly ViewNumbers[]> {
  const views: ViewNumbers[] = [];
  for (const { side, photograph, outline } of viewsToDescribe(record)) {
    const name = `${record.number}, ${photograph.fileName}`;
    try {
      const bytes = await original(photograph.hash);
      if (bytes === null) {
        faults.push(`${name}: the photograph is not in the file.`);
        continue;
      }
      const { raster, widthPx } = await readPictureBytes(bytes, DESCRIBED_PX);
      const values = describeView(raster, outline, widthPx / raster.widthPx);
      views.push({ side, kind: outline.type === "ellipse" ? "face" : "side", values });
    } catch (error) {
      if (!(error instanceof PictureError)) throw error;
      faults.push(`${name}: ${error.message}`);
    }
  }
  return views;
}
