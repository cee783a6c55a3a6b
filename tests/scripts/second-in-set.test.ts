import { beforeAll, describe, expect, test } from "vitest";
import { applyEdit } from "../../model/break/edits.ts";
import { parseWireBreak } from "../../model/break/record-schema.ts";
import type { SecondReading, WireBreak } from "../../model/break/wire-break.ts";
import { checkSet } from "../../model/reference/check/check-set.ts";
import { readCsv } from "../../model/reference/export/csv.ts";
import { codeOfPerson } from "../../model/reference/export/people.ts";
import { PATHS } from "../../model/reference/export/set-names.ts";
import { checkTools } from "../../scripts/reference-set/check-tools.ts";
import { demoMill, type Files, madeSet, resealed, textOf, utf8 } from "./made-set.ts";

const tools = checkTools();
const check = (files: Files) =>
  checkSet({ paths: [...files.keys()], twice: [], read: (path) => Promise.resolve(files.get(path)!) }, tools);

const AT = "2026-03-20T08:00:00Z";
const NAMES = ["Berta Kern", "Carl Third"];

function read(wireBreak: WireBreak, by: string, agrees: boolean): SecondReading {
  const label = wireBreak.confirmations.at(-1)!;
  if (label.kind !== "confirmed") throw new Error("The demo breaks are confirmed here.");
  const type = agrees ? label.type : label.type === "torsion" ? "bending" : "torsion";
  return {
    id: `${wireBreak.id}-reading`,
    type,
    marks: { machine: wireBreak.ends.machine.marks.map((mark) => ({ ...mark, id: `s-${mark.id}`, by })), takeUp: [] },
    note: "looked at twice",
    by,
    at: AT,
    beside: label.id,
    revision: wireBreak.revision,
  };
}

let whole: Files;
let breaks: Awaited<ReturnType<typeof demoMill>>;
beforeAll(async () => {
  breaks = (await demoMill()).slice(0, 3).map((made, i) => {
    if (i === 2) return made;
    const reading = read(made.record, NAMES[i]!, i === 0);
    const { next } = applyEdit(made.record, { kind: "add-reading", reading }, AT);
    return { ...made, record: { ...next, revision: made.record.revision } };
  });
  whole = (await madeSet(breaks)).files;
});
const lines = (files: Files) => {
  const { head, lines: rows } = readCsv(textOf(files, PATHS.reviews));
  return rows.map((row) => Object.fromEntries(head.map((column, i) => [column, row[i]])));
};

describe("second readings in a reference set", () => {
  test("stand in the table of reviews beside the labels, by code, and the set has no fault", async () => {
    expect((await check(whole)).list).toEqual([]);
    const second = lines(whole).filter((row) => row["role"] === "second-reader");
    expect(second.map((row) => [row["decision"], row["reviewer"], row["supersedes"], row["reason"]])).toEqual(
      ["agree", "disagree"].map((decision, i) => [decision, codeOfPerson(NAMES[i]!, "seed"), "", "looked at twice"]),
    );
    for (const [path, bytes] of whole)
      if (!path.startsWith("images/"))
        for (const name of NAMES) expect(new TextDecoder().decode(bytes).includes(name), path).toBe(false);
  });

  test("data sheet and description say how many were read twice, how far readers agree, and that they are too few", () => {
    const words =
      "Of 2 breaks read twice, 1 were given the same type by both. Too few for a kappa: 2 of at least 10 breaks.";
    expect(textOf(whole, PATHS.readme)).toContain(words);
    const croissant = JSON.parse(textOf(whole, PATHS.croissant)) as Record<string, string>;
    expect(croissant["rai:dataAnnotationAnalysis"]).toBe(`${words} Disagreements: 0 settled with a reason, 1 open.`);
    expect(croissant["rai:annotationsPerItem"]).toContain("2 were read a second time");
  });

  test("the record takes its readings along", () => {
    const { record } = breaks[0]!;
    const path = [...whole.keys()].find((each) => each.startsWith("records/breaks/") && each.includes(record.id))!;
    const kept = JSON.parse(textOf(whole, path)) as { record: unknown };
    const [reading] = parseWireBreak(kept.record).readings!;
    expect(reading).toMatchObject({
      id: record.readings![0]!.id,
      type: record.readings![0]!.type,
      note: "looked at twice",
    });
    expect(reading!.by).toBe(codeOfPerson(NAMES[0]!, "seed"));
    expect(reading!.marks.machine).toHaveLength(record.readings![0]!.marks.machine.length);
  });

  test("without records nothing is said of a reading but its type", async () => {
    const { files } = await madeSet(breaks, { withRecords: false });
    expect((await check(files)).list).toEqual([]);
    expect(
      lines(files)
        .filter((row) => row["role"] === "second-reader")
        .map((row) => row["reason"]),
    ).toEqual(["", ""]);
  });

  test.each([
    ["agrees on a type that nobody confirmed", /second-reader,,disagree/, "second-reader,,agree"],
    ["disagrees with the only type there is", /second-reader,,agree/, "second-reader,,disagree"],
    ["has a decision of another kind", /second-reader,,agree/, "second-reader,,confirmed"],
  ])("a reading that %s is a fault", async (_what, from, to) => {
    const files = new Map(whole);
    const before = textOf(files, PATHS.reviews);
    expect(before).toMatch(from);
    files.set(PATHS.reviews, utf8(before.replace(from, to)));
    expect((await check(resealed(files))).list.map(({ code }) => code)).toContain("tables-differ");
  });
});
