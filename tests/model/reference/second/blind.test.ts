import { describe, expect, test } from "vitest";
import { parseWireBreak } from "../../../../model/break/record-schema.ts";
import { BREAK_TYPE_IDS } from "../../../../model/evidence/break-type-ids.ts";
import { BREAK_TYPE_PAGES } from "../../../../model/evidence/break-types/index.ts";
import { BREAK_TYPE_NAMES } from "../../../../model/evidence/type-names.ts";
import { blindRecord, namesBreakType } from "../../../../model/reference/second/blind-record.ts";
import {
  inChanceOrder,
  type QueueBreak,
  whyKnown,
  whyNotServed,
  WHOLE_QUEUE,
} from "../../../../model/reference/second/queue.ts";
import { readerKey, samePerson } from "../../../../model/reference/second/reader-name.ts";
import {
  isOver,
  nextOf,
  putBack,
  type Round,
  roundFrom,
  withRead,
  without,
} from "../../../../model/reference/second/round.ts";
import { photograph, secondReading, startBreak } from "../../break/random-breaks.ts";
import { confirmed, READERS, readBreak, SECRET } from "./random-read.ts";
import fc from "../../../properties.ts";

describe("the record a second reader gets", () => {
  test("holds nothing that the first reader made, whatever the break", () => {
    fc.assert(
      fc.property(readBreak, (wireBreak) => {
        const blind = blindRecord(wireBreak);
        const text = JSON.stringify(blind);
        expect(text).not.toContain(SECRET);
        for (const by of READERS) expect(text).not.toContain(by.length > 1 ? by : `"by":"${by}"`);
        for (const type of BREAK_TYPE_IDS) expect(text).not.toContain(type);
        expect(blind.ends.machine.marks).toEqual([]);
        expect(blind.ends.takeUp.marks).toEqual([]);
        expect(blind).not.toHaveProperty("readings");
      }),
    );
  });

  test("is the same whatever the first reader found", () => {
    fc.assert(
      fc.property(readBreak, readBreak, (one, other) => {
        // What the second took of the pictures, with all that was made of them from the first.
        const mixed = {
          ...one,
          confirmations: other.confirmations,
          readings: other.readings ?? [],
          revision: other.revision + 5,
          updatedAt: other.updatedAt,
          ends: {
            machine: { ...one.ends.machine, marks: other.ends.machine.marks, note: "x" },
            takeUp: { ...one.ends.takeUp, marks: other.ends.takeUp.marks },
          },
          pairing: other.pairing,
          context: { ...one.context, notes: "central burst", repeatsInCast: null },
        };
        expect(blindRecord(mixed)).toEqual(blindRecord(one));
      }),
    );
  });

  test("keeps photographs, scales, light and the facts of wire and process, and is a whole record", () => {
    const start = startBreak();
    const { ends, context } = start;
    const one = photograph("p1", { view: "side_0", turnDeg: 90, axisDeg: 12, light: "ring light", page: 2 });
    const wireBreak = {
      ...start,
      ends: { ...ends, machine: { ...ends.machine, recovery: "recovered" as const, photographs: [one] } },
      context: {
        ...context,
        metal: "copper",
        measuredDiameterMm: 2.01,
        process: "drawn from 8 mm rod, annealed",
        tests: { core_hv: 110, eds: "inclusion of iron", remark: "clean" },
      },
    };
    const blind = blindRecord(wireBreak);
    expect(blind.ends.machine.photographs).toEqual([{ ...one, fileName: "photograph 1" }]);
    expect(blind.context).toEqual({ ...wireBreak.context, tests: { core_hv: 110, remark: "clean" } });
    expect(parseWireBreak(blind)).toEqual(blind);
  });

  test("a text that names a type is kept back, by any of its names", () => {
    for (const name of Object.values(BREAK_TYPE_NAMES)) expect(namesBreakType(`thought to be ${name}?`)).toBe(true);
    for (const { tradeNames } of Object.values(BREAK_TYPE_PAGES))
      for (const name of tradeNames) expect(namesBreakType(`(${name.toUpperCase()})`)).toBe(true);
    for (const id of BREAK_TYPE_IDS) expect(namesBreakType(id)).toBe(true);
    for (const text of ["drawn at 20 m/s, capital line", "die 7, capstan 3", "ETP copper, hard", "nickel"])
      expect(namesBreakType(text)).toBe(false);
  });
});

const waiting = (over: Partial<QueueBreak> = {}): QueueBreak => ({
  id: "b1",
  number: "B-1",
  machine: "RB-1",
  date: "2026-03-02T08:00:00+01:00",
  photographs: 4,
  bothEndsPhotographed: true,
  labelled: true,
  labelledBy: "A. Reader",
  readBy: [],
  ...over,
});

describe("which breaks wait for a reader", () => {
  test("names are one person's whatever their case and spaces; no name is nobody's", () => {
    expect(samePerson("A. Reader", " a.reader ")).toBe(true);
    expect(samePerson("A. Reader", "A. Readers")).toBe(false);
    expect(samePerson("", " ")).toBe(false);
    expect(readerKey("  Ｂ Kern ")).toBe("bkern");
  });

  test("one's own, those read before and those without a picture are not served", () => {
    const why = (over: Partial<QueueBreak>, unlabelledToo = false) =>
      whyNotServed(waiting(over), "B. Kern", { ...WHOLE_QUEUE, unlabelledToo });
    expect(why({})).toBeNull();
    expect(why({ labelledBy: "b. kern" })).toBe("own-label");
    expect(why({ readBy: ["C", "B.Kern"] })).toBe("read-already");
    expect(why({ photographs: 0 })).toBe("no-photograph");
    expect(why({ labelled: false, labelledBy: null })).toBe("not-labelled");
    expect(why({ labelled: false, labelledBy: null }, true)).toBeNull();
    expect(why({ labelled: false, labelledBy: null, bothEndsPhotographed: false }, true)).toBe("one-end-only");
  });

  test("machine and days narrow it, both days included", () => {
    const why = (filter: object) => whyNotServed(waiting(), "B", { ...WHOLE_QUEUE, ...filter });
    expect(why({ machine: "RB-1", from: "2026-03-02", to: "2026-03-02" })).toBeNull();
    expect(why({ machine: "RB-2" })).toBe("filtered");
    expect(why({ from: "2026-03-03" })).toBe("filtered");
    expect(why({ to: "2026-03-01" })).toBe("filtered");
  });

  test("whoever confirmed, re-opened, marked or read it at any time knows it", () => {
    fc.assert(
      fc.property(readBreak, fc.constantFrom(...READERS), (wireBreak, reader) => {
        const hands = [
          ...wireBreak.confirmations,
          ...(wireBreak.readings ?? []),
          ...wireBreak.ends.machine.marks,
          ...wireBreak.ends.takeUp.marks,
        ];
        const knows = hands.some(({ by }) => samePerson(by, reader));
        const why = whyKnown(wireBreak, reader);
        if (knows) expect(why).toMatch(/own-label|own-marks|read-already/);
        else expect([null, "no-photograph"]).toContain(why);
      }),
    );
    expect(whyKnown({ ...startBreak(), binnedAt: "2026-01-01T00:00:00Z" }, "B")).toBe("in-the-bin");
    const earlier = {
      ...startBreak(),
      confirmations: [confirmed("1", "torsion", "B"), confirmed("2", "fatigue", "C")],
    };
    expect(whyKnown(earlier, "b")).toBe("own-label");
    expect(whyKnown({ ...startBreak(), readings: [secondReading("r")] }, "c d")).toBe("read-already");
  });

  test("the order follows from seed and identifiers alone, and tells nothing", () => {
    const ids = Array.from({ length: 200 }, (_, i) => `b${i}`);
    const order = inChanceOrder(ids, "seed");
    expect(inChanceOrder([...ids].reverse(), "seed")).toEqual(order);
    expect(new Set(order).size).toBe(200);
    expect(inChanceOrder(ids, "another")).not.toEqual(order);
    // Rank correlation of the order with the one the breaks came in: near none (standard deviation 1/√199 = 0.07).
    const place = new Map(order.map((id, i) => [id, i]));
    const apart = ids.reduce((sum, id, i) => sum + (place.get(id)! - i) ** 2, 0);
    expect(Math.abs(1 - (6 * apart) / (200 * (200 ** 2 - 1)))).toBeLessThan(0.25);
  });
});

describe("a round of reading", () => {
  const round: Round = { ids: ["a", "b", "c"], read: [], begunAt: "2026-01-01" };
  test("served in order; what is put back comes last; what was read is not put back", () => {
    expect(nextOf(round)).toBe("a");
    const put = putBack(round, "a");
    expect(nextOf(put)).toBe("b");
    expect(putBack(withRead(put, "b"), "b").ids).toEqual(["b", "c", "a"]);
    expect(nextOf(withRead(withRead(put, "b"), "c"))).toBe("a");
    expect(isOver(withRead(withRead(without(put, "a"), "b"), "c"))).toBe(true);
    expect(withRead(round, "stranger")).toBe(round);
  });
  test("what comes from the disk is checked", () => {
    expect(roundFrom(round)).toEqual(round);
    for (const bad of [null, 3, {}, { ids: [1], read: [], begunAt: "" }, { ids: [], read: [], begunAt: "" }])
      expect(roundFrom(bad)).toBeNull();
  });
});
