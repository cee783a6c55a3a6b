import { describe, expect, test } from "vitest";
import { bytesOfSet, lackingOf, setOfBreaks, type NumberedBreak } from "../../../model/classifier/set-of-breaks.ts";
import type { Verdict } from "../../../model/evidence/break-type-ids.ts";

const NAMES = ["a", "b"];
const some = (type: Verdict, count: number): NumberedBreak[] =>
  Array.from({ length: count }, (_, i) => ({ id: `${type}-${i}`, type, vector: [i, i % 2 === 0 ? NaN : 1] }));

describe("confirmed breaks as a set", () => {
  const breaks = [
    ...some("torsion", 7),
    ...some("central_burst", 6),
    ...some("fatigue", 5),
    ...some("undetermined", 9),
  ];
  const made = setOfBreaks(breaks, NAMES);

  test("one row and one group per break, types in the order of the trade list", () => {
    expect(made.set.classes).toEqual(["central_burst", "torsion"]);
    expect(made.set.y.length).toBe(13);
    expect(new Set(made.set.group).size).toBe(13);
    made.ids.forEach((id, i) => {
      const { type, vector } = breaks.find((b) => b.id === id)!;
      expect(made.set.classes[made.set.y[i]!]).toBe(type);
      expect([...made.set.x.subarray(2 * i, 2 * i + 2)]).toEqual([...(vector as number[])]);
    });
  });

  test("a type with too few is left out of the learning, counted and kept for judging; undecided teaches no type", () => {
    expect(made.enough).toEqual([
      { type: "central_burst", breaks: 6 },
      { type: "torsion", breaks: 7 },
    ]);
    expect(made.tooFew).toEqual([{ type: "fatigue", breaks: 5 }]);
    expect(made.rest.map((b) => b.type)).toEqual(Array.from({ length: 5 }, () => "fatigue"));
  });

  test("the order in which breaks are read changes nothing", () => {
    expect(bytesOfSet(setOfBreaks([...breaks].reverse(), NAMES).set)).toEqual(bytesOfSet(made.set));
  });

  test("a changed number, a changed type and a missing value each change the bytes; the kind of NaN does not", () => {
    const bytesWith = (change: (b: NumberedBreak) => NumberedBreak) =>
      bytesOfSet(setOfBreaks(breaks.map((b) => (b.id === "torsion-1" ? change(b) : b)), NAMES).set); // prettier-ignore
    const same = bytesOfSet(made.set);
    expect(bytesWith((b) => ({ ...b, vector: [1.5, 1] }))).not.toEqual(same);
    expect(bytesWith((b) => ({ ...b, type: "central_burst" }))).not.toEqual(same);
    expect(bytesWith((b) => ({ ...b, vector: [1, NaN] }))).not.toEqual(same);
    const odd = new Float32Array(new Uint32Array([0x7fc00001]).buffer);
    const plain = bytesWith((b) => ({ ...b, vector: [1, NaN] }));
    expect(bytesWith((b) => ({ ...b, vector: [1, odd[0]!] }))).toEqual(plain);
  });

  test("what is lacking is said with the next step", () => {
    expect(lackingOf(made)).toBeNull();
    expect(lackingOf(setOfBreaks(some("torsion", 6), NAMES))?.says).toMatch(/Only one break type/);
    expect(lackingOf(setOfBreaks(some("torsion", 3), NAMES))?.says).toMatch(/No break type/);
    expect(lackingOf(setOfBreaks([], NAMES))?.next).toMatch(/Confirm more breaks/);
  });
});
