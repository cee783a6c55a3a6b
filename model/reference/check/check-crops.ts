import { cropFileName } from "../export/crop-table.ts";
import { cropPath, PATHS } from "../export/set-names.ts";
import type { Split } from "../member.ts";
import type { FileFacts } from "./check-set.ts";
import type { Row, Tables } from "./check-tables.ts";
import type { Faults } from "./fault.ts";

/** Rounding of the lengths in the table to a thousandth of a pixel, on the least wire. */
const SCALE_SHARE = 1e-3;

/**
 * What the table of crops says against the pictures and the other tables: each crop is there at the stated size and
 * scale, belongs to a photograph of its break, and lies in the part of its break; none lies there unlisted.
 */
export function checkCrops(
  crops: readonly Row[],
  { cases, photos }: Tables,
  found: ReadonlyMap<string, FileFacts>,
  faults: Faults,
): void {
  const caseOf = new Map(cases.map((row) => [row["case_id"], row]));
  const photoOf = new Map(photos.map((row) => [row["photo_id"], row]));
  const listed = new Set<string>();
  const ids = new Set<string>();
  for (const row of crops) {
    const id = row["crop_id"] ?? "";
    const where = `${PATHS.crops}, ${id}`;
    const path = cropPath(row["file_name"] ?? "");
    if (ids.has(id)) faults.add("duplicate-id", PATHS.crops, `${id} is there twice.`);
    if (listed.has(path)) faults.add("duplicate-id", where, `Two crops name ${path}.`);
    ids.add(id);
    listed.add(path);
    checkPart(row, caseOf.get(row["case_id"]), where, faults);
    checkPhotograph(row, photoOf.get(row["photo_id"]), where, faults);
    checkScale(row, where, faults);
    checkPicture(row, path, found.get(path), faults);
  }
  for (const path of found.keys())
    if (path.startsWith(cropPath("")) && !listed.has(path))
      faults.add("tables-differ", path, `It lies among the crops, and ${PATHS.crops} does not name it.`);
}

function checkPart(row: Row, own: Row | undefined, where: string, faults: Faults): void {
  if (own === undefined) {
    faults.add("unknown-case", where, `There is no break ${row["case_id"]} in tables/cases.csv.`);
    return;
  }
  const split = own["split"] ?? "";
  if (row["split"] !== split)
    faults.add("wrong-part", where, `It says ${row["split"]}; its break ${row["case_id"]} lies in ${split}.`);
  else if (row["file_name"] !== cropFileName(split as Split, row["crop_id"] ?? ""))
    faults.add("wrong-part", where, `It lies at ${row["file_name"]}; crops of its break belong into ${split}.`);
  if (row["break_type"] !== own["break_type"])
    faults.add("tables-differ", where, `It says ${row["break_type"]}; tables/cases.csv says ${own["break_type"]}.`);
}

function checkPhotograph(row: Row, photo: Row | undefined, where: string, faults: Faults): void {
  if (photo === undefined) {
    faults.add("unknown-image", where, `There is no photograph ${row["photo_id"]}.`);
    return;
  }
  for (const column of ["case_id", "end", "view"])
    if (row[column] !== photo[column])
      faults.add(
        "tables-differ",
        where,
        `${column} is ${row[column] || "empty"} here and ${photo[column] || "empty"} in tables/photos.csv.`,
      );
  const [own, theirs] = [row["um_per_px"] ?? "", photo["um_per_px"] ?? ""];
  const wanted = (Number(theirs) * number(row, "width_px")) / number(row, "out_width");
  if (own === "" ? theirs !== "" : theirs === "" || !alike(Number(own), wanted))
    faults.add("crop-scale", where, "Its um_per_px does not follow from that of its photograph.");
}

function checkScale(row: Row, where: string, faults: Faults): void {
  const px = number(row, "px_per_diameter");
  const across = (out: string, inPicture: string): number =>
    (number(row, out) / number(row, inPicture)) * number(row, "diameter_px");
  if (!alike(across("out_width", "width_px"), px) || !alike(across("out_height", "height_px"), px))
    faults.add("crop-scale", where, `Its lengths do not give ${row["px_per_diameter"]} px to one wire diameter.`);
}

function checkPicture(row: Row, path: string, file: FileFacts | undefined, faults: Faults): void {
  if (file === undefined) {
    faults.add("picture-missing", path, `${PATHS.crops} names it, and it is not there.`);
    return;
  }
  const { picture } = file;
  if (picture === null || picture === undefined) {
    faults.add("picture-unreadable", path, "It is no picture that can be read.");
    return;
  }
  if (picture.orientation !== 1)
    faults.add("picture-turned", path, `It asks to be turned (orientation ${picture.orientation}).`);
  if (String(picture.widthPx) !== row["out_width"] || String(picture.heightPx) !== row["out_height"])
    faults.add(
      "picture-size",
      path,
      `It has ${picture.widthPx} × ${picture.heightPx} px; ${PATHS.crops} says ${row["out_width"]} × ${row["out_height"]}.`,
    );
  if (file.saysPosition === true) faults.add("picture-position", path, "It says where it was taken.");
}

/** NaN for what is no number, so that nothing is alike to it. */
const number = (row: Row, column: string): number => (row[column] ? Number(row[column]) : NaN);
const alike = (a: number, b: number): boolean => Math.abs(a - b) <= SCALE_SHARE * Math.abs(b);
