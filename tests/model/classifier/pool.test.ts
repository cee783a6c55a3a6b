import { describe, expect, test } from "vitest";
import type { ModelAnswer } from "../../../model/classifier/break-model.ts";
import { CAUTIOUS, learnWeights, pool, sayOf, type JudgedBreak } from "../../../model/classifier/pool.ts";
import { seeded } from "../../../model/classifier/seeded.ts";
import { BREAK_TYPE_IDS, type BreakTypeId } from "../../../model/evidence/break-type-ids.ts";
import type { FiredRule, Suggestion } from "../../../model/evidence/suggestion.ts";

const rules = (ranking: Suggestion["ranking"], more: Partial<Suggestion> = {}): Suggestion => ({
  verdict: "undetermined",
  ranking,
  says: "",
  gates: [],
  for: [],
  against: [],
  notes: [],
  requests: [],
  missing: [],
  origin: null,
  rulesVersion: "made",
  ...more,
});
/** A model that gives one type the probability and the rest evenly to all others. */
const model = (type: BreakTypeId, probability: number, unlike = 0.5): ModelAnswer => ({
  ranking: BREAK_TYPE_IDS.map((t) => ({
    type: t,
    probability: t === type ? probability : (1 - probability) / (BREAK_TYPE_IDS.length - 1),
  })).sort((a, b) => b.probability - a.probability),
  unlike,
});
const burst: Suggestion["ranking"] = [
  { type: "central_burst", support: 5 },
  { type: "tensile_overload", support: 1 },
];

describe("rules and model together", () => {
  test("the verdict is always the rules' own, decided or open", () => {
    const open = rules(burst);
    const decided = rules(burst, { verdict: "central_burst" });
    for (const weight of [0, 0.5, 1]) {
      const weights = { perUnit: 1, model: weight };
      expect(pool(open, model("fatigue", 0.99), weights).verdict).toBe("undetermined");
      expect(pool(decided, model("fatigue", 0.99), weights).verdict).toBe("central_burst");
    }
  });

  test("without weight the order is the rules', with all of it the model's", () => {
    const a = pool(rules(burst), model("fatigue", 0.9), { perUnit: 1, model: 0 });
    expect(a.ranking[0]!.type).toBe("central_burst");
    expect(a.agrees).toBe(false);
    const b = pool(rules(burst), model("fatigue", 0.9), { perUnit: 1, model: 1 });
    expect(b.ranking[0]!.type).toBe("fatigue");
    for (const { ranking } of [a, b]) expect(ranking.reduce((sum, r) => sum + r.probability, 0)).toBeCloseTo(1, 12);
  });

  test("a type with decisive evidence against it is not brought back by the model", () => {
    const against: FiredRule = {
      rule: "R02",
      type: "fatigue",
      bears: "against",
      strength: "decisive",
      weight: 3,
      says: "",
      reason: "",
      sources: [],
      markIds: [],
      ends: [],
    };
    const { ranking } = pool(rules(burst, { against: [against] }), model("fatigue", 0.99), { perUnit: 1, model: 0.9 });
    expect(ranking.at(-1)!.type).toBe("fatigue");
  });

  test("the stranger the break, the less the model has to say", () => {
    expect([0, 0.9, 0.95, 0.975, 1].map(sayOf)).toEqual([1, 1, 1, expect.closeTo(0.5, 9), 0]);
    const strange = pool(rules(burst), model("fatigue", 0.99, 1), { perUnit: 1, model: 0.9 });
    const alone = pool(rules(burst), model("fatigue", 0.99), { perUnit: 1, model: 0 });
    expect(strange.ranking).toEqual(alone.ranking);
  });

  test("agreement is told only when the rules lead with a type", () => {
    expect(pool(rules([]), model("fatigue", 0.9), CAUTIOUS).agrees).toBeNull();
    expect(pool(rules(burst), model("central_burst", 0.5), CAUTIOUS).agrees).toBe(true);
  });
});

describe("learning the weights", () => {
  const judged = (rulesRight: number, modelRight: number): JudgedBreak[] => {
    const next = seeded(5);
    return Array.from({ length: 90 }, (_, i) => {
      const truth = BREAK_TYPE_IDS[i % 5]!;
      const other = BREAK_TYPE_IDS[(i + 2) % 5]!;
      return {
        truth,
        suggestion: rules([{ type: next() < rulesRight ? truth : other, support: 4 }]),
        answer: model(next() < modelRight ? truth : other, 0.8),
      };
    });
  };

  test("the better side gets the say", () => {
    expect(learnWeights(judged(0.3, 0.95)).model).toBeGreaterThan(0.6);
    expect(learnWeights(judged(0.97, 0.3)).model).toBeLessThan(0.3);
  });

  test("few breaks teach nothing: caution stays", () => {
    expect(learnWeights(judged(0.3, 1).slice(0, 20))).toBe(CAUTIOUS);
  });
});
