import { describe, expect, test } from "vitest";
import { formatLength, formatMeasure, roundTogether } from "../../../model/measure/format.ts";

describe("a formatted measure", () => {
  test("value and uncertainty are rounded to the same place", () => {
    // JCGM 100:2008, 7.2.6: y = 10.057 62 Ω with u = 27 mΩ is rounded to 10.058 Ω; from memory.
    expect(roundTogether(10.05762, 0.027)).toEqual({ value: "10.058", uncertainty: "0.027" });
    expect(roundTogether(64, 5.01)).toEqual({ value: "64", uncertainty: "5" });
    expect(roundTogether(1234, 210)).toEqual({ value: "1230", uncertainty: "210" });
    expect(roundTogether(1234, 560)).toEqual({ value: "1200", uncertainty: "600" });
    expect(roundTogether(0.5, 0.0996)).toEqual({ value: "0.50", uncertainty: "0.10" });
    expect(roundTogether(0.512, 0.0296)).toEqual({ value: "0.51", uncertainty: "0.03" });
    expect(roundTogether(-0.0004, 0.02)).toEqual({ value: "0.000", uncertainty: "0.020" });
    expect(roundTogether(-3.14, null)).toEqual({ value: "−3.14", uncertainty: null });
    expect(roundTogether(2, 0)).toEqual({ value: "2", uncertainty: "0" });
  });

  test("a length is shown in the unit a person likes, k stated", () => {
    expect(formatLength(2.0533, 0.005, "mm")).toBe("2.053 mm ± 0.010 mm (k = 2)");
    expect(formatLength(2.0533, 0.005, "inch")).toBe("0.0808 in ± 0.0004 in (k = 2)");
    expect(formatLength(2.0533, 0.005, "AWG")).toBe("2.053 mm ± 0.010 mm (k = 2), 12 AWG");
    expect(formatLength(0, 0.005, "AWG")).toBe("0.000 mm ± 0.010 mm (k = 2)");
    expect(formatLength(2.0533, 0.005, "mm", { show: "standard" })).toBe("2.053 mm (u = 0.005 mm)");
    expect(formatLength(2.0533, 0.005, "mm", { show: "value-only" })).toBe("2.053 mm");
    expect(formatLength(2.0533, 0.005, "mm", { k: 3 })).toBe("2.053 mm ± 0.015 mm (k = 3)");
    expect(formatLength(2.0533, null, "mm")).toBe("2.05 mm (uncertainty not stated)");
  });

  test("a small reduction of area comes with the words", () => {
    expect(formatMeasure({ key: "ra_pct", value: 9.75, unit: "%", u: 4.2 })).toBe(
      "little or no necking: 10 % ± 8 % (k = 2)",
    );
    expect(formatMeasure({ key: "ra_pct", value: 64, unit: "%", u: 2.5 })).toBe("64 % ± 5 % (k = 2)");
  });

  test("angles, ratios, counts, flags and choices read naturally", () => {
    expect(formatMeasure({ key: "flank_angle_deg", value: 44.6, unit: "°", u: 0.8 })).toBe("44.6° ± 1.6° (k = 2)");
    expect(formatMeasure({ key: "hole_d_over_D", value: 0.5, unit: "1", u: 0.01 })).toBe("0.500 ± 0.020 (k = 2)");
    expect(formatMeasure({ key: "count", value: 3, unit: "count", u: null })).toBe("3");
    expect(formatMeasure({ key: "one_sided", value: true, unit: null, u: null })).toBe("yes");
    expect(formatMeasure({ key: "one_sided", value: false, unit: null, u: null })).toBe("no");
    expect(formatMeasure({ key: "tips", value: "all_toward_spool", unit: null, u: null })).toBe("all toward spool");
    expect(formatMeasure({ key: "d0_mm", value: 2, unit: "mm", u: 0.01 }, "inch")).toBe(
      "0.0787 in ± 0.0008 in (k = 2)",
    );
    expect(formatMeasure({ key: "x", value: 2, unit: null, u: 0.01 })).toBe("2.000 ± 0.020 (k = 2)");
  });
});
