import { readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, test } from "vitest";
import { checkRepeats, checkTestPiece } from "../../../model/measure/plausibility.ts";
import { reductionFromSections } from "../../../model/measure/reduction-of-area.ts";
import { NO_REAL_DATA, realData } from "../../real-data.ts";

describe("repeated readings", () => {
  test("repeats that agree give a mean with its uncertainty and no outlier", () => {
    const found = checkRepeats([2.051, 2.049, 2.053]);
    expect(found.outliers).toEqual([]);
    expect(found.mean?.value).toBeCloseTo(2.051, 10);
    expect(found.mean?.u).toBeCloseTo(0.002 / Math.sqrt(3), 10);
  });

  test("one wild reading is named, and left out of the mean", () => {
    const found = checkRepeats([2.05, 2.06, 3.05], "diameter");
    expect(found.outliers.map((o) => o.index)).toEqual([2]);
    expect(found.outliers[0]?.says).toContain("diameter 3 is 3.05");
    expect(found.mean?.value).toBeCloseTo(2.055, 10);
  });

  test("a misplaced decimal mark is recognised", () => {
    expect(checkRepeats([2.05, 20.5, 2.05]).outliers[0]?.says).toContain("decimal mark");
  });

  test("honest scatter is left alone", () => {
    expect(checkRepeats([2.03, 2.05, 2.06, 2.04, 2.07]).outliers).toEqual([]);
  });

  test("too few or impossible readings are refused, and no spread at all is no error", () => {
    expect(() => checkRepeats([1, 2])).toThrow(/Three or more/);
    expect(() => checkRepeats([1, 2, NaN])).toThrow(/number/);
    expect(checkRepeats([1, 1, 1]).mean).toEqual({ value: 1, u: 0 });
  });

  test("a section that does not follow from its edges, and a stated section that is off, are named", () => {
    const piece = { thicknessMm: [6, 6, 6], widthMm: [20, 20, 20], sectionMm2: [120, 120, 120], statedSectionMm2: 120 };
    expect(checkTestPiece(piece)).toEqual([]);
    expect(checkTestPiece({ ...piece, statedSectionMm2: 102 }).map((f) => f.what)).toEqual(["stated section"]);
    expect(checkTestPiece({ ...piece, sectionMm2: [120, 120, 121] }).map((f) => [f.what, f.index])).toEqual([
      ["section", 2],
      ["stated section", null],
    ]);
  });
});

const folder = realData();
if (folder === null) console.warn(NO_REAL_DATA);

describe.runIf(folder !== null)("real tensile tests", () => {
  // pmdao S355 bars, tests of the Bundesanstalt für Materialforschung und -prüfung; see the attribution beside the data.
  const rows = (name: string, separator: string) => {
    const [head = "", ...lines] = readFileSync(join(folder ?? "", "tensile", name), "utf8")
      .trim()
      .split(/\r?\n/);
    const keys = head.split(separator);
    return lines.map((l) => new Map(l.split(separator).map((v, i) => [keys[i] ?? "", v])));
  };
  const number = (row: ReadonlyMap<string, string>, key: string) => Number(row.get(key));
  const bars = folder === null ? [] : rows("S355_data.csv", ";");

  test("all ten stored reductions of area are reproduced within their rounding", () => {
    expect(bars).toHaveLength(10);
    for (const bar of bars) {
      const z = reductionFromSections({ value: number(bar, "S0"), u: 0 }, { value: number(bar, "Su"), u: 0 });
      expect(Math.abs(z.value - number(bar, "Z"))).toBeLessThanOrEqual(0.5);
      expect(number(bar, "au") * number(bar, "bu")).toBeCloseTo(number(bar, "Su"), 1);
    }
  });

  test("the typing error in the width of bar Zx4 is found, and nothing else is questioned", () => {
    const findings = bars.flatMap((bar) =>
      checkTestPiece({
        thicknessMm: ["d1 / a1", "d2 / a2", "d3 / a3"].map((k) => number(bar, k)),
        widthMm: ["b1", "b2", "b3"].map((k) => number(bar, k)),
        sectionMm2: ["s1", "s2", "s3"].map((k) => number(bar, k)),
        statedSectionMm2: number(bar, "S0"),
      }).map((f) => ({ ...f, piece: bar.get("testpiece") })),
    );
    expect(findings.map((f) => [f.piece, f.what, f.index])).toEqual([
      ["Zx4", "width", 2],
      ["Zx4", "section", 2],
    ]);
    expect(findings[0]?.says).toContain("45.127");
    expect(findings[0]?.says).toContain("20.08");
  });

  test("the three copper alloys give back their sections from their reductions of area", () => {
    const alloys = rows("copper_alloys_kupferdigital.csv", ",");
    expect(alloys.map((a) => number(a, "Z_percent"))).toEqual([88, 10, 37]);
    for (const alloy of alloys) {
      const [s0, z] = [number(alloy, "S0_mm2"), number(alloy, "Z_percent")];
      expect(s0).toBeCloseTo((Math.PI / 4) * 5 ** 2, 1);
      const after = { value: s0 * (1 - z / 100), u: 0 };
      expect(reductionFromSections({ value: s0, u: 0 }, after).value).toBeCloseTo(z, 9);
    }
  });
});
