import { describe, expect, test } from "vitest";
import { lessonOf, teachMost, type OpenBreak } from "../../../model/classifier/teach-most.ts";
import { seeded } from "../../../model/classifier/seeded.ts";
import { BREAK_TYPE_IDS } from "../../../model/evidence/break-type-ids.ts";

const open = (id: string, said: Readonly<Record<string, number>>, unlike = 0.3, known = 40): OpenBreak => ({
  id,
  known,
  answer: {
    ranking: Object.entries(said)
      .map(([type, probability]) => ({ type, probability }))
      .sort((a, b) => b.probability - a.probability),
    unlike,
  },
});
const MANY = Object.fromEntries(BREAK_TYPE_IDS.map((type) => [type, 400]));

describe("what a break would teach", () => {
  test("the smaller the lead, the more", () => {
    const scores = [0.98, 0.8, 0.6, 0.5].map((p) => lessonOf(open("x", { torsion: p, bending: 1 - p }), MANY).score);
    expect(scores).toEqual([...scores].sort((a, b) => a - b));
    expect(lessonOf(open("x", { torsion: 0.5, bending: 0.5 }), MANY)).toMatchObject({
      score: expect.closeTo(0.5 + 0.2 / Math.sqrt(401), 9) as number,
      why: { kind: "torn", between: ["torsion", "bending"] },
    });
  });

  test("unlike anything learnt from counts, an ordinary one does not", () => {
    const sure = { torsion: 0.99, bending: 0.01 };
    expect(lessonOf(open("x", sure, 1), MANY).why).toEqual({ kind: "unlike" });
    // As on the bench: where the model keeps its full say, nothing is called unlike anything.
    expect(lessonOf(open("x", sure, 0.9), MANY).why).toEqual({ kind: "unusual" });
    expect(lessonOf(open("x", sure, 0.5), MANY).score).toBe(lessonOf(open("x", sure, 0), MANY).score);
    expect(lessonOf(open("x", sure, 0.9), MANY).score).toBeGreaterThan(lessonOf(open("x", sure, 0.5), MANY).score);
  });

  test("a type with few confirmed breaks counts more than one with many", () => {
    const sure = open("x", { torsion: 1, bending: 0 });
    expect(lessonOf(sure, { torsion: 2 }).why).toEqual({ kind: "few", type: "torsion", confirmed: 2 });
    expect(lessonOf(sure, {}).score).toBeGreaterThan(lessonOf(sure, { torsion: 2 }).score);
    expect(lessonOf(sure, MANY).why).toEqual({ kind: "sure", type: "torsion" });
  });

  test("where little is marked, little is taught, whatever the doubt", () => {
    const torn = { torsion: 0.5, bending: 0.5 };
    expect(lessonOf(open("x", torn, 1, 0), {}).score).toBe(0);
    expect(lessonOf(open("x", torn, 1, 3), {}).why).toEqual({ kind: "little-marked" });
  });
});

describe("the list", () => {
  test("holds every break once", () => {
    const next = seeded(3);
    const breaks = Array.from({ length: 300 }, (_, i) => {
      const p = next();
      return open(`b${i}`, { [BREAK_TYPE_IDS[i % 17]!]: p, [BREAK_TYPE_IDS[(i + 1) % 17]!]: 1 - p }, next());
    });
    const list = teachMost(breaks, {});
    expect(new Set(list.map((l) => l.id)).size).toBe(300);
    expect(list.map((l) => l.score)).toEqual(list.map((l) => l.score).sort((a, b) => b - a));
    // The order of the input changes nothing.
    expect(teachMost([...breaks].reverse(), {}).map((l) => l.id)).toEqual(list.map((l) => l.id));
  });

  test("is spread over the types: alike breaks of one type do not fill its head", () => {
    const many = Array.from({ length: 10 }, (_, i) => open(`t${i}`, { torsion: 0.55, bending: 0.45 }));
    const other = open("f", { fatigue: 0.65, inclusion: 0.35 });
    const place = teachMost([...many, other], MANY).findIndex((l) => l.id === "f");
    expect(place).toBeGreaterThan(0);
    expect(place).toBeLessThan(5);
  });
});
