import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { parseObservationSheets } from "../../../model/break/observation-sheet.ts";
import { suggest } from "../../../model/evidence/suggest.ts";
import { observe } from "../../../model/measure/observe.ts";
import { breakWithUnopenedPictures, paperRecord } from "../../../model/measure/paper-record.ts";

const read = (path: string): unknown => JSON.parse(readFileSync(new URL(path, import.meta.url), "utf8"));
const ids = () => {
  let n = 0;
  return { id: "b", newId: () => `m${(n += 1)}`, at: "2026-01-01T00:00:00Z", by: "test" };
};

describe("an old paper record", () => {
  test("weighs the same as the sheet it came from, its pictures left behind", () => {
    const sheets = [
      ...parseObservationSheets(read("../evidence/textbook-cases.json")),
      ...parseObservationSheets(read("../../../samples/D-001/sheet.json")),
      ...parseObservationSheets(read("../../../samples/D-003/sheet.json")),
    ];
    for (const sheet of sheets) {
      const drawn = suggest(observe(breakWithUnopenedPictures(sheet, ids())));
      const paper = paperRecord(sheet, ids());
      expect(paper.ends.machine.photographs).toEqual([]);
      const kept = suggest(observe(paper));
      expect([sheet.id, kept.verdict, kept.for.map((r) => r.rule)]).toEqual([
        sheet.id,
        drawn.verdict,
        drawn.for.map((r) => r.rule),
      ]);
    }
  });
});
