import { openAsBlob } from "node:fs";
import { numbersOfBreak, viewsToDescribe, describeView, DESCRIBED_PX } from "../../model/classifier/of-break.ts";
import type { NumberedBreak } from "../../model/classifier/set-of-breaks.ts";
import type { ViewNumbers } from "../../model/classifier/view-columns.ts";
import type { WireBreak } from "../../model/break/wire-break.ts";
import { PictureError } from "../../model/picture/picture-error.ts";
import { caseIdOf, PATHS } from "../../model/reference/export/set-names.ts";
import { confirmedType } from "../../model/reference/levels.ts";
import type { Split } from "../../model/reference/member.ts";
import { benchFileSource } from "../../web/storage/exchange-bench-file.ts";
import { setSource } from "../../web/storage/exchange-set.ts";
import type { BreakSource } from "../../web/storage/exchange-source.ts";
import { readBreakFile } from "../../web/storage/read-break-file.ts";
import { readPictureBytes } from "../propose/read-picture.ts";
import { earlierSet } from "../reference-set/earlier-set.ts";
import { openZip } from "../reference-set/open-set.ts";

/** What a set is for: to learn from (its parts to learn and to choose by), or to judge with (its test part). */
export type Purpose = "learning" | "judging";

/** The confirmed breaks of a file in numbers, and what could not be read of it. */
export interface LabSet {
  readonly breaks: readonly (NumberedBreak & { readonly number: string })[];
  /** Breaks that nobody has confirmed; nothing is learnt from them. */
  readonly unconfirmed: number;
  /** Breaks of parts of a set that serve the other purpose. */
  readonly otherPart: number;
  /** Plain sentences; a view that cannot be read leaves its numbers missing. */
  readonly faults: readonly string[];
}

/**
 * Reads a bench file, or a reference set that carries its records. Of a set only the parts that serve the purpose are
 * taken, so that no figure is about breaks that were learnt from; a bench file has no parts.
 *
 * @throws BenchFileError, NoZip with the reason; ENOENT and the like from the disk.
 */
export async function labSet(path: string, purpose: Purpose): Promise<LabSet> {
  const file = await openAsBlob(path);
  const isSet = (await openZip(file)).entries.has(PATHS.croissant);
  const source = isSet ? await setSource(file, path, {}) : await benchFileSource(file, path, {});
  const parts = isSet ? await partsOf(file) : null;
  const faults: string[] = [];
  const breaks: (NumberedBreak & { readonly number: string })[] = [];
  let [unconfirmed, otherPart] = [0, 0];
  for (const one of source.breaks) {
    const { record } = readBreakFile(one.path, await one.read());
    const type = confirmedType(record);
    if (type === null || record.binnedAt !== null) {
      unconfirmed++;
      continue;
    }
    if (parts !== null && (parts.get(caseIdOf(record.id)) === "test") !== (purpose === "judging")) {
      otherPart++;
      continue;
    }
    const views = await viewsOf(record, source, faults);
    breaks.push({ id: record.id, number: record.number, type, vector: numbersOfBreak(record, views) });
  }
  return { breaks, unconfirmed, otherPart, faults };
}

async function partsOf(file: Blob): Promise<ReadonlyMap<string, Split>> {
  const { members } = await earlierSet(file);
  return new Map(members.map(({ breakId, split }) => [breakId, split]));
}

async function viewsOf(record: WireBreak, source: BreakSource, faults: string[]): Promise<readonly ViewNumbers[]> {
  const views: ViewNumbers[] = [];
  for (const { side, photograph, outline } of viewsToDescribe(record)) {
    const name = `${record.number}, ${photograph.fileName}`;
    try {
      const found = await source.original(photograph.hash, photograph.fileName);
      if (found === null) {
        faults.push(`${name}: the photograph is not in the file.`);
        continue;
      }
      const bytes = new Uint8Array(await found.original.arrayBuffer());
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
