import { readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, test } from "vitest";
import { applyEdit } from "../../../../model/break/edits.ts";
import { newBreak } from "../../../../model/break/new-break.ts";
import { parseWireBreak } from "../../../../model/break/record-schema.ts";
import { type ImportedPicture, readCocoMarks } from "../../../../model/reference/import/coco.ts";
import {
  baseName,
  filePictures,
  groupFault,
  groupingWords,
  groupPictures,
} from "../../../../model/reference/import/coco-breaks.ts";
import { NO_REAL_DATA, realData } from "../../../real-data.ts";
import { photograph } from "../../break/random-breaks.ts";

const picture = (
  fileName: string,
  says: Record<string, string> = {},
  marks: ImportedPicture["marks"] = [],
): ImportedPicture => ({
  fileName,
  widthPx: 100,
  heightPx: 80,
  marks,
  says,
});
const AT = "2026-03-02T08:00:00Z";
const ids = () => {
  let n = 0;
  return () => `id-${++n}`;
};

describe("pictures as breaks", () => {
  const some = [
    picture("f/B7_a.jpg", { case_id: "B7", end: "A", view: "end_on", place: "x" }),
    picture("f/B7_b.jpg", { case_id: "B7", end: "B", view: "side_0", place: "x" }),
    picture("B8_a.jpg", { case_id: "B8", end: "B", view: "odd", place: "y" }),
  ];

  test("by case, by picture, by the start of the name, by any word of the file", () => {
    const numbers = (grouping: Parameters<typeof groupPictures>[1]) =>
      groupPictures(some, grouping).map(({ number, pictures }) => [number, pictures.length]);
    expect(groupingWords(some)).toEqual(["case_id", "place"]);
    expect(numbers({ by: "word", key: "case_id" })).toEqual([
      ["B7", 2],
      ["B8", 1],
    ]);
    expect(numbers({ by: "picture" })).toEqual([
      ["B7_a", 1],
      ["B7_b", 1],
      ["B8_a", 1],
    ]);
    expect(numbers({ by: "name" })).toEqual([
      ["B7", 2],
      ["B8", 1],
    ]);
    expect(numbers({ by: "word", key: "place" })).toEqual([
      ["x", 2],
      ["y", 1],
    ]);
    expect(baseName("a\\b/c.d.jpeg")).toBe("c.d");
  });

  test("each picture goes to the end and view it names, its marks with it; the record is a right one", () => {
    const mark = { feature: "particle", geometry: { type: "point", points: [[3, 4]] }, note: "from COCO" } as const;
    const [group] = groupPictures([{ ...some[0]!, marks: [mark] }, some[1]!, { ...some[2]!, says: {} }], {
      by: "word",
      key: "none",
    });
    expect(group!.pictures).toHaveLength(1);
    const found = [{ ...some[0]!, marks: [mark] }, some[1]!, { ...some[2]!, says: { view: "odd" } }].map((one, i) => {
      const photo = photograph(`p${i}`, { widthPx: 100, heightPx: 80 });
      return { picture: one, photograph: photo };
    });
    const { next } = applyEdit(newBreak("b", "B7", AT), filePictures(found, { newId: ids(), by: "AB", at: AT }), AT);
    expect(parseWireBreak(JSON.parse(JSON.stringify(next)))).toEqual(JSON.parse(JSON.stringify(next)));
    const { machine, takeUp } = next.ends;
    expect(machine.photographs.map(({ view }) => view)).toEqual(["end_on", "other"]);
    expect(takeUp.photographs.map(({ view }) => view)).toEqual(["side_0"]);
    expect([machine.recovery, takeUp.recovery]).toEqual(["recovered", "recovered"]);
    expect(machine.marks.map((m) => [m.feature, m.photographId === machine.photographs[0]!.id, m.geometry])).toEqual([
      ["particle", true, mark.geometry],
    ]);
  });

  test("pictures of another size than the marks were drawn on are refused, groups too large are told", () => {
    const photo = photograph("p", { widthPx: 80, heightPx: 100 });
    expect(() => filePictures([{ picture: some[0]!, photograph: photo }], { newId: ids(), by: "", at: AT })).toThrow(
      "on its side",
    );
    expect(groupFault({ number: "X", pictures: Array.from({ length: 201 }, () => some[0]!) })).toContain("at most 200");
    expect(groupFault({ number: "X", pictures: some })).toBeNull();
  });
});

const real = realData();
describe.skipIf(real === null)(`real photographs of metal (${NO_REAL_DATA})`, () => {
  test("the file says what it is, what it draws, and by which words it can be grouped", () => {
    const file = join(real!, "metal-surface", "annotations.coco.json");
    const { about, categories, pictures } = readCocoMarks(JSON.parse(readFileSync(file, "utf8")));
    expect(about).toMatchObject({ version: "1", licence: "https://creativecommons.org/licenses/by-sa/4.0/" });
    expect(categories).toEqual([{ name: "pitting", marks: 33, feature: null }]);
    expect(groupingWords(pictures)).toContain("location");
    expect(groupPictures(pictures, { by: "picture" })).toHaveLength(52);
  });
});
