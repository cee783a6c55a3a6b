import { readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, test } from "vitest";
import { parseWireBreak } from "../../../../model/break/record-schema.ts";
import { guessColumns, guessSeparator } from "../../../../model/reference/import/columns.ts";
import { breaksFromOldRecords, dayOf, numberOf, readOldRecords } from "../../../../model/reference/import/csv.ts";
import { NO_REAL_DATA, realData } from "../../../real-data.ts";
import { AT } from "../../break/random-breaks.ts";

const TEXT = [
  "Break no;Date;Material;Diameter mm;Cast;Machine;Verdict;Remarks;Price",
  'B-1;31.3.2026;copper;1,6;K7;RB-1;central burst;"cone; tip up";3',
  "B-2;2026-03-30;steel;0.25;;RB-2;;;4",
  "B-3;30.2.2026;steel;thick;;;cuppy;;",
  ";;;;;;;;",
  "B-1;1.3.2026;;;;;;;",
  "B-9;1.3.2026;;;;;;;",
  "B-4;1.3.2026;copper;1600;;;;;",
].join("\r\n");
const mapping = guessColumns(TEXT.split("\r\n")[0]!.split(";"));

describe("a spreadsheet of old records", () => {
  test("columns are guessed from their headings, those that mean nothing are left out", () => {
    expect(mapping).toEqual(["number", "brokeAt", "metal", "diameterMm", "cast", "machine", "type", "notes", null]);
    expect(guessColumns(["Nr", "Datum", "Werkstoff", "Durchmesser [mm]", "Ø µm", "Schmelze", "Befund"])).toEqual([
      "number",
      "brokeAt",
      "metal",
      "diameterMm",
      "diameterUm",
      "cast",
      "type",
    ]);
    expect([TEXT, "a,b\n1;2", 'a\t"b;;;"'].map(guessSeparator)).toEqual([";", ",", "\t"]);
  });

  test("dry run: what it would give, and what is wrong by line and column", () => {
    const { records, faults } = readOldRecords(TEXT, mapping, ";", new Set(["B-9"]));
    expect(records).toEqual([
      {
        line: 2,
        number: "B-1",
        type: "central_burst",
        context: {
          brokeAt: "2026-03-31",
          metal: "copper",
          nominalDiameterMm: 1.6,
          cast: "K7",
          machine: "RB-1",
          notes: "cone; tip up",
        },
      },
      {
        line: 3,
        number: "B-2",
        type: null,
        context: { brokeAt: "2026-03-30", metal: "steel", nominalDiameterMm: 0.25, machine: "RB-2" },
      },
    ]);
    expect(faults.map(({ line, column }) => [line, column])).toEqual([
      [4, "Date"],
      [4, "Diameter mm"],
      [4, "Verdict"],
      [5, "Break no"],
      [6, "Break no"],
      [7, "Break no"],
      [8, "Diameter mm"],
    ]);
    expect(faults[0]!.says).toBe('"30.2.2026" is no day such as 2026-03-31 or 31.3.2026.');
    expect(faults[4]!.says).toBe("Line 2 has the number B-1 already.");
    expect(faults[5]!.says).toBe("The bench has a break B-9 already.");
    expect(faults[6]!.says).toContain("is the column in µm?");
  });

  test("breaks that the bench can keep; the old verdict is a note, nothing is confirmed", () => {
    let n = 0;
    const { records } = readOldRecords(TEXT, mapping, ";");
    const breaks = breaksFromOldRecords(records, () => `b${++n}`, AT, "old.csv");
    for (const one of breaks) expect(parseWireBreak(JSON.parse(JSON.stringify(one)))).toEqual(one);
    expect(breaks[0]!.context.notes).toBe(
      "cone; tip up\nThe old record calls it central burst.\nFrom old.csv, line 2.",
    );
    expect(breaks[0]!.confirmations).toEqual([]);
    expect(breaks[1]!.context.cast).toBeNull();
  });

  test("without a number, or with two columns for one field, it is refused", () => {
    expect(() => readOldRecords(TEXT, [null, "brokeAt"], ";")).toThrow(/number of the break/);
    expect(() => readOldRecords(TEXT, ["number", "cast", "cast"], ";")).toThrow(/Two columns are to be "cast"/);
    expect(() => readOldRecords('a;b\n"x', ["number", null], ";")).toThrow(/Line 2/);
  });
});

test.each([
  ["1.6", 1.6],
  ["1,6", 1.6],
  ["1.234,5", 1234.5],
  ["1,234.5", 1234.5],
  ["12 000", 12000],
  ["1.6 mm", null],
  ["", null],
  ["1,2,3", null],
])("%j as a number", (text, value) => expect(numberOf(text)).toBe(value));

test.each([
  ["31.3.2026", "2026-03-31"],
  ["2026-3-1 7:05", "2026-03-01T07:05"],
  ["1.3.2026, 17:05:30", "2026-03-01T17:05:30"],
  ["29.2.2025", null],
  ["3/4/2026", null],
  ["1.3.2026 25:00", null],
])("%j as a day", (text, day) => expect(dayOf(text)).toBe(day));

const real = realData();
test.skipIf(real === null)(`real records of another lab: separators, decimal commas, dates (${NO_REAL_DATA})`, () => {
  const text = readFileSync(join(real!, "scale", "uhcs_scale_metadata.csv"), "utf8");
  const separator = guessSeparator(text);
  const head = text.split(/\r?\n/)[0]!.split(separator);
  const as = head.map((_, i) => (i === 0 ? ("number" as const) : null));
  const { records, faults } = readOldRecords(text, as, separator);
  expect(records.length + new Set(faults.map((f) => f.line)).size).toBe(961);
});
