import { expect, test } from "vitest";
import { fieldLength, parseLength } from "../../../model/measure/parse-length.ts";
import fc from "../../properties.ts";

test("a length in a field reads back as the same length, in mm and in inch", () => {
  const mm = fc.double({ min: 0.01, max: 50, noNaN: true });
  fc.assert(
    fc.property(mm, fc.constantFrom("mm" as const, "inch" as const, "AWG" as const), (length, unit) => {
      expect(parseLength(fieldLength(length, unit), unit).mm / length).toBeCloseTo(1, 6);
    }),
  );
});
