import { existsSync, readdirSync } from "node:fs";
import { readFile, rename, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { parseObservationSheets } from "../../model/break/observation-sheet.ts";
import type { ObservationSheet } from "../../model/break/observation-sheet-types.ts";
import { END_SIDES, type ProposedMark } from "../../model/break/wire-break.ts";
import type { BreakTypeId } from "../../model/evidence/break-type-ids.ts";
import type { Geometry } from "../../model/break/geometry.ts";
import { DESCRIBED_PX, describeView } from "../../model/classifier/of-break.ts";
import type { ViewNumbers } from "../../model/classifier/view-columns.ts";
import { enlarge } from "../../model/picture/propose/enlarge.ts";
import { proposeMarks } from "../../model/picture/propose/propose.ts";
import { readPicture } from "../propose/read-picture.ts";

/** Raised whenever the finders or the description of faces change, so that old numbers are taken anew. */
const PIXELS_VERSION = 4;

/** What the pixels of one rendered break say, taken once and kept beside its pictures. */
export interface PixelNumbers {
  readonly version: number;
  /** What is proposed on each picture, px of the whole picture. */
  readonly proposed: Readonly<
    Record<string, { readonly marks: readonly ProposedMark[]; readonly axisDeg: number | null }>
  >;
  /** Numbers of the views by their true outlines and by the proposed ones, by picture; null = missing. */
  readonly drawnViews: Readonly<Record<string, readonly (number | null)[]>>;
  readonly proposedViews: Readonly<Record<string, readonly (number | null)[]>>;
}

/** A rendered break with what is known of it for certain. */
export interface CorpusBreak {
  readonly name: string;
  readonly seed: number;
  readonly type: BreakTypeId;
  readonly sheet: ObservationSheet;
  readonly pixels: PixelNumbers;
}

/** Names of the whole breaks of a corpus folder, in order. */
export function breaksIn(folder: string): readonly string[] {
  return existsSync(folder)
    ? readdirSync(folder)
        .filter((name) => !name.endsWith(".part") && existsSync(join(folder, name, "truth.json")))
        .sort()
    : [];
}

/** Reads a rendered break; its pixels are looked at when that was not done before. */
export async function readCorpusBreak(folder: string, name: string): Promise<CorpusBreak> {
  const at = join(folder, name);
  const truth = JSON.parse(await readFile(join(at, "truth.json"), "utf8")) as { seed: number; type: BreakTypeId };
  const [sheet] = parseObservationSheets(JSON.parse(await readFile(join(at, "sheet.json"), "utf8")));
  if (sheet === undefined) throw new Error(`${at}/sheet.json holds no break.`);
  return { name, seed: truth.seed, type: truth.type, sheet, pixels: await pixelsOf(at, sheet) };
}

async function pixelsOf(at: string, sheet: ObservationSheet): Promise<PixelNumbers> {
  const file = join(at, "pixels.json");
  if (existsSync(file)) {
    const kept = JSON.parse(await readFile(file, "utf8")) as PixelNumbers;
    if (kept.version === PIXELS_VERSION) return kept;
  }
  const taken = await look(at, sheet);
  await writeFile(`${file}.part`, JSON.stringify(taken));
  await rename(`${file}.part`, file);
  return taken;
}

async function look(at: string, sheet: ObservationSheet): Promise<PixelNumbers> {
  const proposed: Record<string, { marks: readonly ProposedMark[]; axisDeg: number | null }> = {};
  const drawnViews: Record<string, readonly (number | null)[]> = {};
  const proposedViews: Record<string, readonly (number | null)[]> = {};
  for (const end of sheet.ends)
    for (const photo of end.photos) {
      if (photo.view !== "end_on" && photo.view !== "side_0" && photo.view !== "side_90") continue;
      const { raster, widthPx } = await readPicture(join(at, photo.file), DESCRIBED_PX);
      const shrunkBy = widthPx / raster.widthPx;
      const found = proposeMarks({
        raster,
        view: photo.view === "end_on" ? "end_on" : "side",
        pxPerMm: photo.px_per_mm === null ? null : photo.px_per_mm / shrunkBy,
        wireMm: null,
      });
      const marks = found.marks.map((mark) => ({ ...mark, geometry: enlarge(mark.geometry, shrunkBy) }));
      proposed[photo.file] = { marks, axisDeg: found.axisDeg };
      const numbers = (geometry: Geometry | undefined): readonly (number | null)[] | null => {
        const known = geometry?.type === "ellipse" || geometry?.type === "edges";
        // JSON has no NaN.
        return known ? [...describeView(raster, geometry, shrunkBy)].map((v) => (Number.isNaN(v) ? null : v)) : null;
      };
      const drawn = numbers(end.features.find((f) => f.feature === "wire_outline" && f.photo === photo.file)?.geometry);
      const seen = numbers(marks.find((m) => m.feature === "wire_outline")?.geometry);
      if (drawn !== null) drawnViews[photo.file] = drawn;
      if (seen !== null) proposedViews[photo.file] = seen;
    }
  return { version: PIXELS_VERSION, proposed, drawnViews, proposedViews };
}

/** Numbers of the views of a break. */
export function viewsOf(
  sheet: ObservationSheet,
  by: Readonly<Record<string, readonly (number | null)[]>>,
): readonly ViewNumbers[] {
  return sheet.ends.flatMap((end, i) =>
    end.photos.flatMap(({ file, view }): ViewNumbers[] => {
      const values = by[file];
      if (values === undefined || values.length === 0) return [];
      const side = END_SIDES[i] ?? "takeUp";
      return [{ side, kind: view === "end_on" ? "face" : "side", values: Float32Array.from(values, (v) => v ?? NaN) }];
    }),
  );
}
