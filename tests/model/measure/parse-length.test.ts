import { describe, expect, test } from "vitest";
import { LengthError, parseLength } from "../../../model/measure/parse-length.ts";
import type { LengthUnit } from "../../../model/measure/units.ts";

const codeOf = (typed: string, unit?: LengthUnit): string => {
  try {
    parseLength(typed, unit);
  } catch (error) {
    if (error instanceof LengthError) return error.code;
    throw error;
  }
  return "read";
};

describe("a typed length", () => {
  test.each<[string, number, LengthUnit]>([
    ["2.05", 2.05, "mm"],
    ["2,05 mm", 2.05, "mm"],
    [" 2.05MM ", 2.05, "mm"],
    ["850 µm", 0.85, "mm"],
    ["850um", 0.85, "mm"],
    ["0.081 in", 2.0574, "inch"],
    ['0.0808"', 2.05232, "inch"],
    ["80.8 mil", 2.05232, "inch"],
    ["12 AWG", 2.05253, "AWG"],
    ["awg 12", 2.05253, "AWG"],
    ["4/0 awg", 11.684, "AWG"],
    ["0000 AWG", 11.684, "AWG"],
    [".5", 0.5, "mm"],
  ])("%s is read", (typed, mm, unit) => {
    const length = parseLength(typed);
    expect(length.mm).toBeCloseTo(mm, 5);
    expect(length.unit).toBe(unit);
  });

  test("a bare number takes the chosen unit", () => {
    expect(parseLength("1", "inch").mm).toBeCloseTo(25.4, 12);
    expect(parseLength("36", "AWG").mm).toBeCloseTo(0.127, 12);
  });

  test("what cannot be read is refused by name", () => {
    expect(codeOf("")).toBe("empty");
    expect(codeOf("two")).toBe("not-a-length");
    expect(codeOf("1.250,5")).toBe("not-a-length");
    expect(codeOf("2 furlong")).toBe("not-a-length");
    expect(codeOf("1/2 in")).toBe("not-a-length");
    expect(codeOf("0")).toBe("not-positive");
    expect(codeOf("-1 mm")).toBe("not-positive");
    expect(codeOf("99 AWG")).toBe("awg-size");
    expect(codeOf("2.05", "AWG")).toBe("awg-size");
  });
});
