import { describe, expect, test } from "vitest";
import { bestByKnown } from "../../../model/classifier/best-by-known.ts";
import { calibrated } from "../../../model/classifier/calibrated.ts";
import { logLoss } from "../../../model/classifier/metrics.ts";
import type { Scored } from "../../../model/classifier/scored.ts";
import { seeded } from "../../../model/classifier/seeded.ts";
import { answersAt, boldnessOf } from "../../../model/classifier/temperature.ts";
import {
  boldnessAt,
  countedOf,
  knownCount,
  type TemperatureByKnown,
} from "../../../model/classifier/temperature-by-known.ts";
import { COLUMN_NAMES } from "../../../model/classifier/vector.ts";
import fc from "../../properties.ts";

const counted = Uint8Array.of(1, 1, 1);
const true_: TemperatureByKnown = { counted, few: 4, many: 20, boldAtFew: 0.5, boldAtMany: 2 };

/** Made scores whose truth is drawn at a temperature that we know; known columns from 4 to 20. */
function drawn(rows: number, seed: number, temperature: TemperatureByKnown | number, classes = 4): Scored {
  const next = seeded(seed);
  const known = Int32Array.from({ length: rows }, () => 4 + Math.floor(17 * next()));
  const scores = Float64Array.from({ length: rows * classes }, () => 3 * next());
  const { probabilities } = answersAt({ classes, scores, truth: new Int32Array(rows), known }, temperature);
  const truth = Int32Array.from({ length: rows }, (_, i) => {
    let left = next();
    for (let c = 0; c < classes; c++) if ((left -= probabilities[i * classes + c]!) < 0) return c;
    return classes - 1;
  });
  return { classes, scores, truth, known };
}
const foldsOf = (rows: number) => Int32Array.from({ length: rows }, (_, i) => i % 4);

describe("a temperature that follows how much is known", () => {
  test("marks and facts count, what pixels say does not", () => {
    const flags = countedOf(COLUMN_NAMES);
    const named = COLUMN_NAMES.filter((_, j) => flags[j] === 1);
    expect(named).toContain("cone_flank.any");
    expect(named).toContain("context.pickled");
    expect(named.filter((name) => /^(face|side|colour)\./.test(name))).toEqual([]);
    expect(knownCount(Uint8Array.of(1, 0, 1), [NaN, 2, 0])).toBe(1);
  });

  test("it rises evenly between its ends and stays there beyond them", () => {
    expect([0, 4, 12, 20, 400].map((n) => boldnessAt(true_, n))).toEqual([0.5, 0.5, 1.25, 2, 2]);
    expect(boldnessOf(4, [1, NaN])).toBe(0.25);
    expect(boldnessOf({ ...true_, few: 1, many: 3 }, [7, NaN, 0])).toBe(1.25);
  });

  test("the two that the truth was drawn at are found again", () => {
    const found = bestByKnown(drawn(20_000, 3, true_), counted)!;
    // The ends are the tenth and the ninetieth of a hundred, so the same line is met there.
    for (const known of [found.few, 12, found.many])
      expect(boldnessAt(found, known)).toBeCloseTo(boldnessAt(true_, known), 1);
  });

  test("no other pair on a fine grid has less loss", () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 1e6 }), fc.integer({ min: 6, max: 120 }), (seed, rows) => {
        const scored = drawn(rows, seed, { ...true_, boldAtFew: 1.5, boldAtMany: 0.6 });
        const found = bestByKnown(scored, counted);
        fc.pre(found !== null);
        const least = logLoss(answersAt(scored, found));
        for (let a = 0.125; a <= 4; a *= 1.3)
          for (let b = 0.125; b <= 4; b *= 1.3)
            expect(least).toBeLessThanOrEqual(
              logLoss(answersAt(scored, { ...found, boldAtFew: a, boldAtMany: b })) + 1e-9,
            );
      }),
      { numRuns: 25 },
    );
  });

  test("where every answer is right it grows no bolder than four", () => {
    const scored = { ...drawn(60, 5, 1), scores: new Float64Array(240) };
    scored.truth.forEach((c, i) => (scored.scores[4 * i + c] = 1));
    const found = bestByKnown(scored, counted)!;
    expect([found.boldAtFew, found.boldAtMany]).toEqual([4, 4]);
  });

  test("where all breaks are known alike, one temperature says it all", () => {
    const alike = { ...drawn(200, 8, 1), known: new Int32Array(200).fill(9) };
    expect(bestByKnown(alike, counted)).toBeNull();
    expect(typeof calibrated(alike, foldsOf(200), 4, counted).temperature).toBe("number");
  });
});

describe("which of the two", () => {
  test("two where the truth asks for two, and the answers to each fold are better for it", () => {
    const scored = drawn(600, 21, true_);
    const { temperature, honest } = calibrated(scored, foldsOf(600), 4, counted);
    expect(typeof temperature).toBe("object");
    expect(logLoss(honest)).toBeLessThan(logLoss(answersAt(scored, 1)));
  });

  test("one mostly, where the truth asks for one", () => {
    let two = 0;
    for (let seed = 0; seed < 40; seed++)
      if (typeof calibrated(drawn(120, 700 + seed, 1.5), foldsOf(120), 4, counted).temperature === "object") two++;
    // By chance the second number helps on folds it did not see in a fifth or so of the sets.
    expect(two).toBeLessThan(16);
  });
});
