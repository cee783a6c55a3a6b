import { describe, expect, test } from "vitest";
import { AgreementError } from "../../../../model/reference/agreement/agreement-error.ts";
import { agreementByType } from "../../../../model/reference/agreement/by-type.ts";
import { type AgreementWeights, cohenKappa } from "../../../../model/reference/agreement/kappa.ts";
import { readingTable } from "../../../../model/reference/agreement/reading-table.ts";
import fc from "../../../properties.ts";

const table = (...counts: readonly (readonly number[])[]) => ({ labels: counts.map((_, i) => `L${i}`), counts });
const refusal = (work: () => unknown): AgreementError => {
  try {
    work();
  } catch (error) {
    if (error instanceof AgreementError) return error;
  }
  throw new Error("It was accepted.");
};

/** 200 cases as proportions .44 .07 .09 / .05 .20 .05 / .01 .03 .06: the table of Cohen 1960 and 1968. */
const COHEN = table([88, 14, 18], [10, 40, 10], [2, 6, 12]);

describe("published worked examples", () => {
  test("Cohen 1960 (reprinted in Cohen 1968): kappa .492 of three diagnoses", () => {
    const k = cohenKappa(COHEN);
    expect(k.observed).toBeCloseTo(0.7, 12);
    expect(k.expected).toBeCloseTo(0.41, 12);
    expect(k.kappa).toBeCloseTo(0.492, 3);
  });

  test("Cohen 1968: weighted kappa .348 with weights of disagreement 1, 3 and 6", () => {
    const disagreement = [
      [0, 1, 3],
      [1, 0, 6],
      [3, 6, 0],
    ];
    const weights = disagreement.map((row) => row.map((v) => 1 - v / 6));
    expect(cohenKappa(COHEN, weights).kappa).toBeCloseTo(0.348, 3);
  });

  test("Fleiss, Cohen & Everitt 1969: .429 unweighted; squared steps .57 as other programs print it", () => {
    const diagnoses = table([106, 10, 4], [22, 28, 10], [2, 12, 6]);
    expect(cohenKappa(diagnoses).kappa).toBeCloseTo(0.429, 3);
    expect(cohenKappa(diagnoses, "by-squared-steps").kappa).toBeCloseTo(0.57, 2);
    const weights = [
      [1, 0, 0.4444],
      [0, 1, 0.6667],
      [0.4444, 0.6667, 1],
    ];
    const k = cohenKappa(diagnoses, weights);
    // By their equation for a nominal scale with weights, from the table itself.
    expect(k.observed).toBeCloseTo((140 + 0.4444 * 6 + 0.6667 * 22) / 200, 10);
    expect(k.kappa).toBeGreaterThan(0.429);
  });

  test("two by two: 20 5 / 10 15 gives .40 (a common textbook example; from memory)", () => {
    expect(cohenKappa(table([20, 5], [10, 15])).kappa).toBeCloseTo(0.4, 12);
  });
});

describe("what must hold for any two readers", () => {
  const counts = fc
    .integer({ min: 2, max: 5 })
    .chain((n) =>
      fc.array(fc.array(fc.nat({ max: 20 }), { minLength: n, maxLength: n }), { minLength: n, maxLength: n }),
    )
    .filter((t) => t.filter((row) => row.some((x) => x > 0)).length >= 2);
  const kinds: readonly AgreementWeights[] = ["same-only", "by-steps", "by-squared-steps"];

  test("exchanging the readers changes nothing; the interval holds kappa", () => {
    fc.assert(
      fc.property(counts, fc.constantFrom(...kinds), (t, weights) => {
        const k = cohenKappa(table(...t), weights);
        const turned = cohenKappa(table(...t.map((_, j) => t.map((row) => row[j]!))), weights);
        expect(turned.kappa).toBeCloseTo(k.kappa, 9);
        expect(turned.se).toBeCloseTo(k.se, 9);
        expect(k.kappa).toBeLessThanOrEqual(1 + 1e-12);
        expect(k.low).toBeLessThanOrEqual(k.kappa + 1e-12);
        expect(k.high).toBeGreaterThanOrEqual(k.kappa - 1e-12);
      }),
    );
  });

  test("full agreement is 1 without doubt, and independent readers come out at 0", () => {
    const full = cohenKappa(table([5, 0, 0], [0, 7, 0], [0, 0, 9]), "by-steps");
    expect(full.kappa).toBeCloseTo(1, 12);
    expect(full.se).toBeCloseTo(0, 12);
    const apart = cohenKappa(table([6, 4, 10], [3, 2, 5], [9, 6, 15]));
    expect(apart.kappa).toBeCloseTo(0, 12);
    expect(apart.se).toBeCloseTo(apart.seWithoutAgreement, 12);
  });

  test("with two labels the weights make no difference", () => {
    const t = table([31, 7], [4, 18]);
    expect(cohenKappa(t, "by-squared-steps").kappa).toBeCloseTo(cohenKappa(t).kappa, 12);
  });
});

describe("readings from which nothing can be said are refused in words", () => {
  test.each([
    ["no break", () => cohenKappa(table([0, 0], [0, 0])), "too-few"],
    ["one break", () => cohenKappa(table([1, 0], [0, 0])), "too-few"],
    ["one label only", () => cohenKappa(table([9, 0], [0, 0])), "no-variation"],
    ["weights of another size", () => cohenKappa(table([9, 1], [1, 5]), [[1]]), "wrong-weights"],
    ["a label nobody knows", () => readingTable([["a", "z"]], ["a", "b"]), "unknown-label"],
  ])("%s", (_name, work, code) => {
    const error = refusal(work);
    expect(error.code).toBe(code);
    expect(error.next).not.toBe("");
  });
});

describe("type by type", () => {
  const pairs: (readonly [string, string])[] = [
    ...Array.from({ length: 8 }, () => ["central_burst", "central_burst"] as const),
    ["central_burst", "tensile_overload"],
    ["casting_void", "central_burst"],
    ["casting_void", "central_burst"],
    ...Array.from({ length: 5 }, () => ["tensile_overload", "tensile_overload"] as const),
  ];
  const rows = agreementByType(readingTable(pairs, ["central_burst", "casting_void", "tensile_overload", "torsion"]));

  test("counts and shares", () => {
    expect(rows.map(({ both, firstOnly, secondOnly }) => [both, firstOnly, secondOnly])).toEqual([
      [8, 1, 2],
      [0, 2, 0],
      [5, 0, 1],
      [0, 0, 0],
    ]);
    expect(rows[0]!.share).toBeCloseTo(16 / 19, 12);
    expect(rows[1]!.share).toBe(0);
    expect(rows[3]!.share).toBeNull();
  });

  test("kappa of a type is that of type against rest; none where a reader never gave it", () => {
    expect(rows[0]!.kappa!.kappa).toBeCloseTo(cohenKappa(table([8, 1], [2, 5])).kappa, 12);
    expect(rows[1]!.kappa).toBeNull();
    expect(rows[3]!.kappa).toBeNull();
  });
});
