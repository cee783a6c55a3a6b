import { readdir, readFile } from "node:fs/promises";
import { join } from "node:path";
import { parseObservationSheets } from "../../model/break/observation-sheet.ts";
import type { Geometry, Point } from "../../model/break/geometry.ts";
import type { ObservationSheet } from "../../model/break/observation-sheet-types.ts";
import type { FeatureId } from "../../model/evidence/features.ts";
import { corpusPictures } from "./corpus-truth.ts";

export interface TrueShape {
  readonly feature: FeatureId;
  readonly geometry: Geometry;
}

/** One photograph of a corpus and what is truly on it. */
export interface TruePicture {
  readonly path: string;
  readonly file: string;
  readonly view: "end_on" | "side_0" | "side_90";
  readonly pxPerMm: number | null;
  /** Of the sound wire, px; null = as its outline says. */
  readonly diameterPx: number | null;
  /** The wire with its break front as a side view shows it, px; null = not told. */
  readonly silhouette: readonly Point[] | null;
  /** Shapes drawn on this photograph. */
  readonly shapes: readonly TrueShape[];
  /** Features of the end that are stated not to be there. */
  readonly absent: ReadonlySet<FeatureId>;
}

/** Every end-on and side photograph below a folder whose truth.json, or else sheet.json, says what is on it. */
export async function truePictures(folder: string): Promise<TruePicture[]> {
  const entries = await readdir(folder, { recursive: true, withFileTypes: true });
  const folders = [...new Set(entries.filter((e) => e.isFile()).map((e) => e.parentPath))].sort();
  const pictures: TruePicture[] = [];
  for (const at of folders) {
    const names = new Set(entries.filter((e) => e.parentPath === at).map((e) => e.name));
    const name = ["truth.json", "sheet.json"].find((n) => names.has(n));
    if (name === undefined || at.endsWith(".part")) continue;
    const json: unknown = JSON.parse(await readFile(join(at, name), "utf8"));
    if (name === "truth.json") pictures.push(...corpusPictures(json, at));
    else for (const sheet of parseObservationSheets(json)) pictures.push(...picturesOf(sheet, at));
  }
  return pictures;
}

function picturesOf(sheet: ObservationSheet, folder: string): TruePicture[] {
  return sheet.ends.flatMap((end) =>
    end.photos.flatMap((photo): TruePicture[] => {
      const { view, file } = photo;
      if (view !== "end_on" && view !== "side_0" && view !== "side_90") return [];
      const shapes = end.features.flatMap(({ feature, geometry, photo: on, state }): TrueShape[] =>
        on === file && geometry !== undefined && state === "present" ? [{ feature, geometry }] : [],
      );
      const absent = new Set(end.features.filter((f) => f.state === "absent").map((f) => f.feature));
      return [
        {
          path: join(folder, file),
          file,
          view,
          pxPerMm: photo.px_per_mm,
          diameterPx: null,
          silhouette: null,
          shapes,
          absent,
        },
      ];
    }),
  );
}
