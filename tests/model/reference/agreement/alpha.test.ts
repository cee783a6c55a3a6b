import { describe, expect, test } from "vitest";
import { seeded } from "../../../../model/classifier/seeded.ts";
import { AgreementError } from "../../../../model/reference/agreement/agreement-error.ts";
import { alphaWithInterval, krippendorffAlpha, type ReadUnit } from "../../../../model/reference/agreement/alpha.ts";
import fc from "../../../properties.ts";

/** Krippendorff 2011, section C: four observers, twelve units, with missing readings. One row per observer. */
const OBSERVERS: readonly ReadUnit[] = [
  [1, 2, 3, 3, 2, 1, 4, 1, 2, null, null, null],
  [1, 2, 3, 3, 2, 2, 4, 1, 2, 5, null, 3],
  [null, 3, 3, 3, 2, 3, 4, 2, 2, 5, 1, null],
  [1, 2, 3, 3, 2, 4, 4, 1, 2, 5, 1, null],
];
const UNITS = OBSERVERS[0]!.map((_, i) => OBSERVERS.map((row) => row[i]!));

describe("Krippendorff 2011, Computing Krippendorff's Alpha-Reliability", () => {
  test.each([
    ["names", 0.743],
    ["ordered", 0.815],
    ["numbers", 0.849],
  ] as const)("section C, four observers: %s %d", (kind, published) => {
    const found = krippendorffAlpha(UNITS, kind);
    expect(found.alpha).toBeCloseTo(published, 3);
    expect([found.breaks, found.readings]).toEqual([11, 40]);
  });

  test("section A: two observers, yes or no, alpha 0.095", () => {
    const meg = [0, 1, 0, 0, 0, 0, 0, 0, 1, 0];
    const owen = [1, 1, 1, 0, 0, 1, 0, 0, 0, 0];
    const units = meg.map((v, i) => [v, owen[i]!]);
    expect(krippendorffAlpha(units, "names").alpha).toBeCloseTo(0.095, 3);
    expect(krippendorffAlpha(units, "ordered").alpha).toBeCloseTo(0.095, 3);
  });

  test("section B: two observers, five names, alpha 0.692", () => {
    const numbers = (list: readonly string[]) => list.map((letter) => letter.charCodeAt(0));
    const published = [
      ["a", "b"],
      ["a", "a"],
      ["b", "b"],
      ["b", "b"],
      ["d", "b"],
      ["c", "c"],
      ["c", "c"],
      ["c", "c"],
      ["e", "e"],
      ["d", "d"],
      ["d", "d"],
      ["a", "d"],
    ].map(numbers);
    expect(krippendorffAlpha(published, "names").alpha).toBeCloseTo(0.692, 3);
  });
});

describe("what must hold for any readings", () => {
  const value = fc.option(fc.nat({ max: 4 }), { nil: null, freq: 4 });
  const units = fc
    .array(fc.array(value, { minLength: 3, maxLength: 3 }), { minLength: 2, maxLength: 20 })
    .filter((list) => {
      const read = list.map((u) => u.filter((v) => v !== null)).filter((u) => u.length > 1);
      return new Set(read.flat()).size > 1;
    });

  test("readers may change places and breaks may come in any order; a break read once changes nothing", () => {
    fc.assert(
      fc.property(units, fc.constantFrom("names", "ordered", "numbers"), (list, kind) => {
        const { alpha } = krippendorffAlpha(list, kind);
        expect(alpha).toBeLessThanOrEqual(1 + 1e-9);
        expect(krippendorffAlpha([...list].reverse(), kind as "names").alpha).toBeCloseTo(alpha, 9);
        expect(
          krippendorffAlpha(
            list.map((u) => [...u].reverse()),
            kind as "names",
          ).alpha,
        ).toBeCloseTo(alpha, 9);
        expect(krippendorffAlpha([...list, [3, null, null]], kind as "names").alpha).toBeCloseTo(alpha, 9);
      }),
    );
  });

  test("the interval is the same for the same seed, holds alpha, and narrows with more breaks", () => {
    const once = alphaWithInterval(UNITS, "names", seeded(7));
    expect(alphaWithInterval(UNITS, "names", seeded(7))).toEqual(once);
    expect(once.low).toBeLessThan(once.alpha);
    expect(once.high).toBeGreaterThan(once.alpha);
    const more = alphaWithInterval(Array.from({ length: 9 }, () => UNITS).flat(), "names", seeded(7));
    // Nine times the breaks: about a third of the width.
    expect((more.high - more.low) / (once.high - once.low)).toBeGreaterThan(0.2);
    expect((more.high - more.low) / (once.high - once.low)).toBeLessThan(0.5);
  });

  test.each([
    [
      "nobody read a break twice",
      [
        [1, null],
        [null, 2],
      ],
      "too-few",
    ],
    [
      "one label only",
      [
        [1, 1],
        [1, 1],
      ],
      "no-variation",
    ],
  ] as const)("%s: refused in words", (_name, list, code) => {
    expect(() => krippendorffAlpha(list, "names")).toThrow(AgreementError);
    try {
      krippendorffAlpha(list, "names");
    } catch (error) {
      expect((error as AgreementError).code).toBe(code);
    }
  });
});
