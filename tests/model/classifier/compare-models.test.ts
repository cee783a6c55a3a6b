import { describe, expect, test } from "vitest";
import { compareModels, FEWEST_TO_TELL } from "../../../model/classifier/compare-models.ts";
import { seeded } from "../../../model/classifier/seeded.ts";
import { setOfBreaks, type NumberedBreak } from "../../../model/classifier/set-of-breaks.ts";
import { train } from "../../../model/classifier/train.ts";
import type { BreakTypeId } from "../../../model/evidence/break-type-ids.ts";

const NAMES = ["a", "b", "c"];
const TYPES = ["central_burst", "fatigue", "torsion"] as const;
const NONE: ReadonlySet<string> = new Set();

/** Breaks whose first two numbers tell the type; `turned` gives every type the place of the next one. */
function made(count: number, seed: number, turned = false, types: readonly BreakTypeId[] = TYPES): NumberedBreak[] {
  const next = seeded(seed);
  const normal = () => Math.sqrt(-2 * Math.log(1 - next())) * Math.cos(2 * Math.PI * next());
  return Array.from({ length: count }, (_, i) => {
    const k = i % types.length;
    const place = TYPES.indexOf(types[k] as (typeof TYPES)[number]);
    const at = (turned ? place + 1 : place) % 3;
    const vector = [[0, 3, 0][at]! + normal(), [0, 0, 3][at]! + normal(), normal()];
    return { id: `b${String(i).padStart(4, "0")}`, type: types[k]!, vector };
  });
}
const compare = (...args: Parameters<typeof compareModels>) => compareModels(...args).comparison;
const trained = (breaks: readonly NumberedBreak[]) =>
  train(setOfBreaks(breaks, NAMES).set, {
    seed: 1,
    name: "made",
    trainedAt: "2026-03-02T08:00:00Z",
    trainedOn: "made numbers",
    limits: [],
    dataDigest: "0".repeat(64),
  });

describe("a new model against the one in use", () => {
  const lab = setOfBreaks(made(60, 1), NAMES);
  const fresh = trained(made(60, 1));
  const wrong = trained(made(60, 2, true));

  test("is adopted where the one in use is wrong, with the difference beyond chance", () => {
    const c = compare(lab, fresh, wrong, { learntFromByTheOneInUse: NONE });
    expect(c.judged).toBe(60);
    expect(c.fresh.value).toBeGreaterThan(0.85);
    expect(c.inUse.value).toBeLessThan(0.2);
    expect(c.paired.p).toBeLessThan(0.001);
    expect(c.recommend).toBe("adopt");
    expect(c.because.join(" ")).toMatch(/beyond chance/);
  });

  test("every break is judged by a model that did not learn from it", () => {
    // Types that cannot be told apart: a model judged on its own breaks would look good, a left-out one cannot.
    const next = seeded(9);
    const random = made(60, 4).map((b) => ({ ...b, vector: [next(), next(), next()] }));
    const c = compare(setOfBreaks(random, NAMES), trained(random), wrong, { learntFromByTheOneInUse: NONE });
    expect(c.fresh.value).toBeLessThan(0.6);
  });

  test("breaks that the one in use learnt from do not judge it", () => {
    const known = new Set(lab.ids.slice(0, 35));
    const c = compare(lab, fresh, wrong, { learntFromByTheOneInUse: known });
    expect([c.judged, c.learntFromByTheOneInUse]).toEqual([25, 35]);
    const all = compare(lab, fresh, wrong, { learntFromByTheOneInUse: new Set(lab.ids) });
    expect([all.judged, all.recommend]).toEqual([0, "keep"]);
    expect(all.because[0]).toMatch(/nothing can be compared/);
  });

  test("too few breaks tell nothing, and that is said", () => {
    const known = new Set(lab.ids.slice(FEWEST_TO_TELL - 1));
    const c = compare(lab, fresh, wrong, { learntFromByTheOneInUse: known });
    expect(c.judged).toBe(FEWEST_TO_TELL - 1);
    expect(c.recommend).toBe("keep");
    expect(c.because[0]).toMatch(/too few to tell/);
  });

  test("a type too rare to learn is judged too, types lost are named, and a worse model is kept out", () => {
    const two = made(40, 5, false, ["central_burst", "torsion"]);
    const rare = made(60, 6).filter((b) => b.type === "fatigue").slice(0, 5).map((b, i) => ({ ...b, id: `r${i}` })); // prettier-ignore
    const set = setOfBreaks([...two, ...rare], NAMES);
    const c = compare(set, trained(two), trained(made(60, 7)), { learntFromByTheOneInUse: NONE });
    expect(c.judged).toBe(45);
    expect(c.typesLost).toEqual(["fatigue"]);
    const fatigue = c.perType.find((t) => t.type === "fatigue")!;
    expect(fatigue.fresh).toMatchObject({ of: 0, n: 5 });
    expect(fatigue.inUse.of).toBeGreaterThan(2);
    // Worse on these breaks: it is not taken, and whether that is chance is said.
    expect(c.fresh.of).toBeLessThan(c.inUse.of);
    expect(c.recommend).toBe("keep");
    expect(c.because.join(" ")).toMatch(/can be chance/);
  });

  test("where both are equally good, a type lost decides for the one in use", () => {
    const two = made(40, 5, false, ["central_burst", "torsion"]);
    const set = setOfBreaks(two, NAMES);
    const knowsMore = compare(set, trained(two), trained(made(90, 7)), { learntFromByTheOneInUse: NONE });
    expect(knowsMore.paired.p).toBeGreaterThan(0.05);
    expect([knowsMore.typesLost, knowsMore.recommend]).toEqual([["fatigue"], "keep"]);
    const same = made(40, 8, false, ["central_burst", "torsion"]);
    const knowsTheSame = compare(set, trained(two), trained(same), { learntFromByTheOneInUse: NONE });
    expect(knowsTheSame.typesLost).toEqual([]);
    expect(knowsTheSame.recommend).toBe(
      knowsTheSame.paired.onlyFirst >= knowsTheSame.paired.onlySecond ? "adopt" : "keep",
    );
  });

  test("the same breaks and seed give the same comparison; progress ends at the whole", () => {
    const parts: number[] = [];
    const a = compare(lab, fresh, wrong, { learntFromByTheOneInUse: NONE, onPart: (p) => parts.push(p) });
    const b = compare(lab, fresh, wrong, { learntFromByTheOneInUse: NONE });
    expect(a).toEqual(b);
    const { said } = compareModels(lab, fresh, wrong, { learntFromByTheOneInUse: NONE });
    const right = said.filter((s) => s.fresh.ranking[0]!.type === s.truth).length;
    expect([said.length, right]).toEqual([a.judged, a.fresh.of]);
    expect(parts.at(-1)).toBe(1);
    expect(parts).toEqual([...parts].sort((x, y) => x - y));
  });
});
