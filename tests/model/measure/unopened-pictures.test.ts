import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { parseObservationSheets } from "../../../model/break/observation-sheet.ts";
import { breakWithUnopenedPictures, paperRecord } from "../../../model/measure/paper-record.ts";

const sheetOf = (sample: string) => {
  const url = new URL(`../../../samples/${sample}/sheet.json`, import.meta.url);
  const [sheet] = parseObservationSheets(JSON.parse(readFileSync(url, "utf8")));
  if (sheet === undefined) throw new Error(`no sheet in ${sample}`);
  return sheet;
};
const imported = () => {
  let n = 0;
  return { id: "b", newId: () => `m${(n += 1)}`, at: "2026-01-01T00:00:00Z", by: "test" };
};

test("every picture a sheet names is there by its name, and every drawn shape lies on one of them", () => {
  const sheet = sheetOf("D-001");
  const { machine, takeUp } = breakWithUnopenedPictures(sheet, imported()).ends;
  const named = sheet.ends.flatMap((end) => end.photos.map((photo) => photo.file));
  expect([...machine.photographs, ...takeUp.photographs].map((p) => p.fileName).sort()).toEqual([...named].sort());
  for (const end of [machine, takeUp]) {
    const ids = new Set(end.photographs.map((p) => p.id));
    const drawn = end.marks.filter((m) => m.geometry !== null);
    expect(drawn.length).toBeGreaterThan(0);
    for (const mark of drawn) expect(ids.has(mark.photographId ?? "")).toBe(true);
  }
});

test("a paper record states the measures its shapes had, in place of the shapes", () => {
  const { machine } = paperRecord(sheetOf("D-001"), imported()).ends;
  expect(machine.marks.every((m) => m.geometry === null && m.photographId === null)).toBe(true);
  const outline = machine.marks.find((m) => m.feature === "wire_outline");
  // Radii 849.4 and 842.6 px at 1057.5 px per mm: 1.60 mm, the wire of the sheet.
  expect(outline?.given["d0_mm"]).toBeCloseTo(1.6, 2);
  expect(machine.statedViews).toEqual(expect.arrayContaining(["end_on", "side_0", "side_90"]));
});
