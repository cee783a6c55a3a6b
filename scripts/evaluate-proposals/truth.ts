import { readdir, readFile } from "node:fs/promises";
import { dirname, join } from "node:path";
import { parseObservationSheets } from "../../model/break/observation-sheet.ts";
import type { ObservationSheet, SheetFeature } from "../../model/break/observation-sheet-types.ts";
import type { FeatureId } from "../../model/evidence/features.ts";
import { VIEW_KIND } from "../../model/evidence/features.ts";

/** One photograph of a corpus and what is truly on it. */
export interface TruePicture {
  readonly path: string;
  readonly file: string;
  readonly view: "end_on" | "side_0" | "side_90";
  readonly pxPerMm: number | null;
  /** Shapes drawn on this photograph. */
  readonly shapes: readonly SheetFeature[];
  /** Features of the end that are stated not to be there. */
  readonly absent: ReadonlySet<FeatureId>;
}

/** Every end-on and side photograph that a sheet.json below a folder names. */
export async function truePictures(folder: string): Promise<TruePicture[]> {
  const entries = await readdir(folder, { recursive: true, withFileTypes: true });
  const sheets = entries
    .filter((e) => e.isFile() && e.name.endsWith("sheet.json"))
    .map((e) => join(e.parentPath, e.name))
    .sort();
  const pictures: TruePicture[] = [];
  for (const path of sheets) {
    const json: unknown = JSON.parse(await readFile(path, "utf8"));
    for (const sheet of parseObservationSheets(json)) pictures.push(...picturesOf(sheet, dirname(path)));
  }
  return pictures;
}

function picturesOf(sheet: ObservationSheet, folder: string): TruePicture[] {
  return sheet.ends.flatMap((end) =>
    end.photos.flatMap((photo): TruePicture[] => {
      const { view, file } = photo;
      if (view !== "end_on" && view !== "side_0" && view !== "side_90") return [];
      if (VIEW_KIND[view] === null) return [];
      const shapes = end.features.filter((f) => f.photo === file && f.geometry !== undefined && f.state === "present");
      const absent = new Set(end.features.filter((f) => f.state === "absent").map((f) => f.feature));
      return [{ path: join(folder, file), file, view, pxPerMm: photo.px_per_mm, shapes, absent }];
    }),
  );
}
