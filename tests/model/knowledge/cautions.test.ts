import { describe, expect, test } from "vitest";
import {
  CAUTION_MOMENTS,
  type Caution,
  type CautionId,
  cautionOf,
  CAUTIONS,
  cautionsFor,
} from "../../../model/evidence/cautions.ts";
import { isSourceKey } from "../../../model/evidence/sources.ts";

const rows: readonly Caution[] = CAUTIONS;

describe("cautions", () => {
  test("every step has its cautions, every caution its step", () => {
    for (const moment of CAUTION_MOMENTS) expect([moment, cautionsFor(moment).length > 0]).toEqual([moment, true]);
    for (const row of rows) {
      expect(row.when.length).toBeGreaterThan(0);
      for (const key of row.sources) expect([key, isSourceKey(key)]).toEqual([key, true]);
    }
    expect(new Set(rows.map((row) => row.id)).size).toBe(rows.length);
  });

  test("lock-out comes first when an end is retrieved, gloves only after it", () => {
    const ids = cautionsFor("retrieving-end").map((row) => row.id);
    expect(ids[0]).toBe("lock-out");
    expect(ids).toEqual(expect.arrayContaining(["gloves-after-lock-out", "sharp-ends", "stored-tension"]));
  });

  test("the sheet says what a suggestion is not", () => {
    const text = cautionsFor("sheet")
      .map((row) => row.text)
      .join(" ");
    expect(text).toMatch(/no verdict on the fitness for service of wire, rope or cable/);
    expect(text).toMatch(/Broken ends are sharp/);
    expect(text).toMatch(/lock out/);
  });

  test("no recipe is printed", () => {
    expect(rows.map((row) => row.text).join(" ")).not.toMatch(/\d\s*(%|ml|g\/l|°C)/i);
  });

  test("a caution nobody wrote is refused", () => {
    expect(() => cautionOf("helmet" as CautionId)).toThrow(RangeError);
  });
});
