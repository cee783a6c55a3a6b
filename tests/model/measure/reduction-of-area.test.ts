import { describe, expect, test } from "vitest";
import { MeasureError } from "../../../model/measure/measure-error.ts";
import {
  ratioToReference,
  reductionFromRatios,
  reductionFromSections,
  reductionOfArea,
} from "../../../model/measure/reduction-of-area.ts";
import { exact, over, reading, standardUncertainty } from "../../../model/measure/uncertain.ts";

const codeOf = (f: () => unknown): string => {
  try {
    f();
  } catch (error) {
    if (error instanceof MeasureError) return error.code;
    throw error;
  }
  return "none";
};

describe("reduction of area", () => {
  test("2.00 mm to 1.60 mm is 36 %", () => {
    // Z = 100 (S0 − Su)/S0, definition of ISO 6892-1; from memory.
    expect(reductionOfArea({ value: 2, u: 0 }, [{ value: 1.6, u: 0 }]).value).toBeCloseTo(36, 10);
  });

  test("the two worked examples come out with their expanded uncertainty", () => {
    // D = 1.00 ± 0.01 mm with dn = 0.60 ± 0.02 mm and 0.95 ± 0.02 mm: derived from u(RA) = 2 (dn/D)² √[(u_dn/dn)² + (u_D/D)²].
    const deep = reductionOfArea({ value: 1, u: 0.01 }, [{ value: 0.6, u: 0.02 }]);
    expect(Math.round(deep.value)).toBe(64);
    expect(Math.round(2 * deep.u)).toBe(5);
    expect(deep.u).toBeCloseTo(100 * 2 * 0.36 * Math.hypot(0.02 / 0.6, 0.01), 10);
    const shallow = reductionOfArea({ value: 1, u: 0.01 }, [{ value: 0.95, u: 0.02 }]);
    expect(Math.round(shallow.value)).toBe(10);
    expect(Math.round(2 * shallow.u)).toBe(8);
  });

  test("two necks seen 90° apart give 1 − d1·d2/D², and their independent errors partly cancel", () => {
    const z = reductionOfArea({ value: 1, u: 0.01 }, [
      { value: 0.5, u: 0.02 },
      { value: 0.7, u: 0.02 },
    ]);
    expect(z.value).toBeCloseTo(65, 10);
    expect(z.u).toBeCloseTo(35 * Math.sqrt((0.02 / 0.5) ** 2 + (0.02 / 0.7) ** 2 + (2 * 0.01) ** 2), 9);
    const round = { value: 0.6, u: 0.02 };
    expect(reductionOfArea({ value: 1, u: 0 }, [round, round]).u).toBeCloseTo(
      reductionOfArea({ value: 1, u: 0 }, [round]).u / Math.SQRT2,
      9,
    );
  });

  test("a scale shared by neck and wire leaves the reduction of area untouched", () => {
    const scale = reading("scale", 50, 5);
    const ratio = over(over(reading("neck", 60, 0.5), scale), over(reading("wire", 100, 0.5), scale));
    const without = over(reading("neck", 60, 0.5), reading("wire", 100, 0.5));
    expect(standardUncertainty(reductionFromRatios([ratio]))).toBeCloseTo(
      standardUncertainty(reductionFromRatios([without])),
      10,
    );
  });

  test("a neck as wide as the wire within its uncertainty counts as no reduction", () => {
    const z = reductionOfArea({ value: 1, u: 0.01 }, [{ value: 1.01, u: 0.02 }]);
    expect(z.value).toBe(0);
    expect(z.u).toBeGreaterThan(0);
  });

  test("each failing case has its code", () => {
    expect(codeOf(() => reductionOfArea({ value: 0, u: 0 }, [{ value: 1, u: 0 }]))).toBe("diameter-not-positive");
    expect(codeOf(() => reductionOfArea({ value: 1, u: 0 }, [{ value: -1, u: 0 }]))).toBe("diameter-not-positive");
    expect(codeOf(() => reductionOfArea({ value: 1, u: 0.01 }, [{ value: 1.2, u: 0.01 }]))).toBe(
      "neck-exceeds-original",
    );
    expect(codeOf(() => reductionOfArea({ value: NaN, u: 0 }, [{ value: 1, u: 0 }]))).toBe("diameter-not-positive");
    expect(codeOf(() => reductionFromSections({ value: 1, u: 0 }, { value: 0, u: 0 }))).toBe("diameter-not-positive");
    expect(codeOf(() => reductionFromSections({ value: 1, u: 0.01 }, { value: 1.2, u: 0.01 }))).toBe(
      "neck-exceeds-original",
    );
    expect(codeOf(() => ratioToReference(exact(30), { value: 0, u: null }))).toBe("diameter-not-positive");
  });

  test("the ratio to the reference pull carries both uncertainties", () => {
    const z = reading("z", 30, 3);
    const ratio = ratioToReference(z, { value: 60, u: 2 });
    expect(ratio.value).toBeCloseTo(0.5, 12);
    expect(standardUncertainty(ratio)).toBeCloseTo(0.5 * Math.hypot(3 / 30, 2 / 60), 12);
    expect(standardUncertainty(ratioToReference(z, { value: 60, u: null }))).toBeCloseTo(0.05, 12);
  });
});
