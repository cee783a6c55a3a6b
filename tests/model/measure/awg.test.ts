import { describe, expect, test } from "vitest";
import {
  AWG_LARGEST,
  AWG_SMALLEST,
  awgFromName,
  awgName,
  awgTableInch,
  awgToMm,
  describeAwg,
  mmToAwg,
} from "../../../model/measure/awg.ts";

/** ASTM B258, table of nominal diameters in inches, 0000 to 56; values from memory. */
const B258_INCH = [
  0.46, 0.4096, 0.3648, 0.3249, 0.2893, 0.2576, 0.2294, 0.2043, 0.1819, 0.162, 0.1443, 0.1285, 0.1144, 0.1019, 0.0907,
  0.0808, 0.072, 0.0641, 0.0571, 0.0508, 0.0453, 0.0403, 0.0359, 0.032, 0.0285, 0.0253, 0.0226, 0.0201, 0.0179, 0.0159,
  0.0142, 0.0126, 0.0113, 0.01, 0.0089, 0.008, 0.0071, 0.0063, 0.0056, 0.005, 0.0045, 0.004, 0.0035, 0.0031, 0.0028,
  0.0025, 0.0022, 0.002, 0.00176, 0.00157, 0.0014, 0.00124, 0.00111, 0.00099, 0.00088, 0.00078, 0.0007, 0.00062,
  0.00055, 0.00049,
];

describe("American wire gauge", () => {
  test("every size of the table comes out as printed", () => {
    const sizes = B258_INCH.map((_, i) => i + AWG_LARGEST);
    expect(sizes.at(-1)).toBe(AWG_SMALLEST);
    expect(sizes.map(awgTableInch)).toEqual(B258_INCH);
  });

  test("sizes outside the table are refused with what to do instead", () => {
    expect(() => awgTableInch(57)).toThrow(/0000 to 56/);
    expect(() => awgTableInch(2.5)).toThrow(/mm/);
  });

  test("a diameter and its gauge number go both ways", () => {
    for (let gauge = AWG_LARGEST; gauge <= AWG_SMALLEST; gauge++) expect(mmToAwg(awgToMm(gauge))).toBeCloseTo(gauge, 9);
    expect(awgToMm(12)).toBeCloseTo(2.0525, 3);
    expect(() => mmToAwg(0)).toThrow(/greater than zero/);
  });

  test("names go both ways", () => {
    for (let gauge = AWG_LARGEST; gauge <= AWG_SMALLEST; gauge++) expect(awgFromName(awgName(gauge))).toBe(gauge);
    expect(awgFromName("4/0")).toBe(-3);
    expect(awgFromName("1/0")).toBe(0);
    for (const wrong of ["57", "00000", "-1", "1.5", "x", ""]) expect(awgFromName(wrong)).toBeNull();
  });

  test("a diameter that is no size is described by the sizes around it", () => {
    expect(describeAwg(2.05)).toBe("12 AWG");
    expect(describeAwg(2.18)).toBe("between 11 and 12 AWG");
    expect(describeAwg(20)).toBe("larger than 0000 AWG");
    expect(describeAwg(0.001)).toBe("smaller than 56 AWG");
  });
});
