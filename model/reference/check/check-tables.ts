import type { CocoFile } from "../export/coco.ts";
import { type CsvText, isFormulaText } from "../export/csv.ts";
import { SECOND_DECISIONS, SECOND_READER } from "../export/set-builder.ts";
import { type Split, SPLITS } from "../member.ts";
import type { Faults } from "./fault.ts";

export type Row = Readonly<Record<string, string>>;

/** Lines of a table by column. */
export function rowsOf(table: CsvText, wanted: readonly string[], where: string, faults: Faults): readonly Row[] {
  const lacking = wanted.filter((column) => !table.head.includes(column));
  if (lacking.length > 0) {
    faults.add("not-a-table", where, `It lacks the columns ${lacking.join(", ")}.`);
    return [];
  }
  return table.lines.map((line, i) => {
    if (line.length !== table.head.length)
      faults.add(
        "not-a-table",
        `${where}, line ${i + 2}`,
        `It has ${line.length} cells; the head has ${table.head.length}.`,
      );
    line.forEach((cell, j) => {
      if (isFormulaText(cell))
        faults.add(
          "formula-cell",
          `${where}, line ${i + 2}, ${table.head[j] ?? j}`,
          "A spreadsheet would run this cell as a formula.",
        );
    });
    return Object.fromEntries(table.head.map((column, j) => [column, line[j] ?? ""]));
  });
}

export interface Tables {
  readonly cases: readonly Row[];
  readonly photos: readonly Row[];
  readonly reviews: readonly Row[];
  readonly marks: readonly Row[];
}

/** References between the tables and the marks, parts, groups, ends and confirmations. */
export function checkTables(tables: Tables, coco: ReadonlyMap<Split, CocoFile>, faults: Faults): void {
  const { cases, photos, reviews, marks } = tables;
  const known = new Map<string, Row>();
  const once = (seen: Map<string, Row>, id: string, row: Row, where: string): void => {
    if (seen.has(id)) faults.add("duplicate-id", where, `${id} is there twice.`);
    seen.set(id, row);
  };
  for (const row of cases) once(known, row["case_id"] ?? "", row, "tables/cases.csv");
  const byPhoto = new Map<string, Row>();
  for (const row of photos) once(byPhoto, row["photo_id"] ?? "", row, "tables/photos.csv");
  const reviewIds = new Map<string, Row>();
  for (const row of reviews) {
    once(reviewIds, row["review_id"] ?? "", row, "tables/reviews.csv");
    const before = row["supersedes"] ?? "";
    if (before !== "" && reviewIds.get(before)?.["case_id"] !== row["case_id"])
      faults.add(
        "tables-differ",
        `tables/reviews.csv, ${row["review_id"]}`,
        `It replaces ${before}, which is no earlier review of this break.`,
      );
  }
  const child = (rows: readonly Row[], table: string): void => {
    for (const row of rows)
      if (!known.has(row["case_id"] ?? ""))
        faults.add("unknown-case", `tables/${table}.csv`, `There is no break ${row["case_id"]} in tables/cases.csv.`);
  };
  child(photos, "photos");
  child(reviews, "reviews");
  child(marks, "marks");
  for (const row of marks)
    if (row["photo_id"] !== "" && !byPhoto.has(row["photo_id"] ?? ""))
      faults.add("unknown-image", `tables/marks.csv, ${row["mark_id"]}`, `There is no photograph ${row["photo_id"]}.`);
  checkImages(known, byPhoto, coco, faults);
  checkMarks(marks, coco, faults);
  checkParts(cases, photos, known, faults);
  checkConfirmed(cases, reviews, faults);
  checkSecondReadings(reviews, faults);
}

function checkImages(
  known: ReadonlyMap<string, Row>,
  photos: ReadonlyMap<string, Row>,
  coco: ReadonlyMap<Split, CocoFile>,
  faults: Faults,
): void {
  const seen = new Set<string>();
  const ends = new Map<string, Set<string>>();
  for (const [split, file] of coco)
    for (const image of file.images) {
      const where = `annotations/instances_${split}.json, image ${image.id}`;
      const row = photos.get(String(image.id));
      seen.add(String(image.id));
      ends.set(image.case_id, (ends.get(image.case_id) ?? new Set()).add(image.end));
      const part = known.get(image.case_id)?.["split"];
      if (part === undefined)
        faults.add("unknown-case", where, `There is no break ${image.case_id} in tables/cases.csv.`);
      else if (part !== split) faults.add("wrong-part", where, `Its break ${image.case_id} lies in ${part}.`);
      if (row === undefined) faults.add("tables-differ", where, "It is not in tables/photos.csv.");
      else
        for (const [column, value] of [
          ["case_id", image.case_id],
          ["end", image.end],
          ["view", image.view],
          ["file_name", image.file_name],
          ["um_per_px", image.um_per_px === null ? "" : String(image.um_per_px)],
          ["width", String(image.width)],
          ["height", String(image.height)],
        ] as const)
          if (row[column] !== value)
            faults.add(
              "tables-differ",
              where,
              `${column} is ${value || "empty"} here and ${row[column] || "empty"} in tables/photos.csv.`,
            );
    }
  for (const [id] of photos)
    if (!seen.has(id)) faults.add("tables-differ", `tables/photos.csv, ${id}`, "It is in no file of marks.");
  for (const [id, row] of known) {
    const there = [...(ends.get(id) ?? [])].sort().join("+");
    if (there !== row["ends"])
      faults.add(
        "end-missing",
        `tables/cases.csv, ${id}`,
        `It says ends ${row["ends"] || "none"}; there are pictures of ${there || "none"}.`,
      );
    else if (
      there !== "A+B" &&
      row["label_status"] === "confirmed" &&
      row["break_type"] !== "undetermined" &&
      there === ""
    )
      faults.add("end-missing", `tables/cases.csv, ${id}`, "It has no picture of either end.");
  }
}

function checkMarks(marks: readonly Row[], coco: ReadonlyMap<Split, CocoFile>, faults: Faults): void {
  const byId = new Map(marks.map((row) => [`${row["photo_id"]} ${row["mark_id"]}`, row]));
  for (const [split, file] of coco) {
    const names = new Map(file.categories.map((c) => [c.id, c.name]));
    for (const { id, image_id, category_id, mark_id } of file.annotations) {
      const row = byId.get(`${image_id} ${mark_id}`);
      if (row?.["feature"] !== names.get(category_id) || row?.["state"] !== "present")
        faults.add(
          "tables-differ",
          `annotations/instances_${split}.json, mark ${id}`,
          `tables/marks.csv does not say the same of ${mark_id}.`,
        );
    }
  }
}

function checkParts(
  cases: readonly Row[],
  photos: readonly Row[],
  known: ReadonlyMap<string, Row>,
  faults: Faults,
): void {
  const inPart = new Map<string, Set<string>>();
  for (const row of cases) {
    if (!(SPLITS as readonly string[]).includes(row["split"] ?? ""))
      faults.add("wrong-part", `tables/cases.csv, ${row["case_id"]}`, `There is no part "${row["split"]}".`);
    const group = row["group_id"] ?? "";
    inPart.set(group, (inPart.get(group) ?? new Set()).add(row["split"] ?? ""));
  }
  for (const [group, parts] of inPart)
    if (parts.size > 1)
      faults.add("group-torn", `tables/cases.csv, ${group}`, `It lies in ${[...parts].join(" and ")}.`);
  for (const column of ["sha256", "original_sha256"]) {
    const of = new Map<string, Set<string>>();
    for (const row of photos) {
      const hash = row[column] ?? "";
      if (hash !== "") of.set(hash, (of.get(hash) ?? new Set()).add(known.get(row["case_id"] ?? "")?.["split"] ?? ""));
    }
    for (const [hash, parts] of of)
      if (parts.size > 1)
        faults.add(
          "photograph-in-two-parts",
          `tables/photos.csv, ${hash.slice(0, 12)}…`,
          `One photograph lies in ${[...parts].join(" and ")}.`,
        );
  }
}

function checkConfirmed(cases: readonly Row[], reviews: readonly Row[], faults: Faults): void {
  // A second reading stands beside the label and never replaces it.
  const last = new Map(reviews.filter((row) => row["role"] !== SECOND_READER).map((row) => [row["case_id"], row]));
  for (const row of cases) {
    if (row["label_status"] !== "confirmed") continue;
    const review = last.get(row["case_id"]);
    if (review?.["decision"] !== "confirmed")
      faults.add(
        "unconfirmed",
        `tables/cases.csv, ${row["case_id"]}`,
        "It is called confirmed, and its last review does not say so.",
      );
    else if (review["break_type"] !== row["break_type"])
      faults.add(
        "unconfirmed",
        `tables/cases.csv, ${row["case_id"]}`,
        `It is called ${row["break_type"]}; its last review says ${review["break_type"]}.`,
      );
  }
}

/** A second reading agrees with a label that was once given, or disagrees with one. */
function checkSecondReadings(reviews: readonly Row[], faults: Faults): void {
  const given = new Map<string, Set<string>>();
  for (const row of reviews) {
    if (row["decision"] !== "confirmed") continue;
    const id = row["case_id"] ?? "";
    given.set(id, (given.get(id) ?? new Set()).add(row["break_type"] ?? ""));
  }
  for (const row of reviews) {
    if (row["role"] !== SECOND_READER) continue;
    const where = `tables/reviews.csv, ${row["review_id"]}`;
    const [decision, type] = [row["decision"] ?? "", row["break_type"] ?? ""];
    const labels = given.get(row["case_id"] ?? "") ?? new Set<string>();
    if (!(SECOND_DECISIONS as readonly string[]).includes(decision))
      faults.add("tables-differ", where, `A second reading cannot have the decision "${decision}".`);
    else if (decision === "agree" && !labels.has(type))
      faults.add("tables-differ", where, `It agrees on ${type}, which nobody confirmed.`);
    else if (decision === "disagree" && [...labels].every((label) => label === type))
      faults.add("tables-differ", where, `It disagrees, and no other type than ${type} was ever confirmed.`);
  }
}
