import { describe, expect, test } from "vitest";
import { findLeaks } from "../../../model/reference/leaks.ts";
import { waysOut } from "../../../model/reference/leak-ways.ts";
import type { Split } from "../../../model/reference/member.ts";
import {
  type FrozenVersion,
  heldBack,
  keptParts,
  latestOf,
  planOfParts,
  sinceFrozen,
  testGroupsOf,
  whyNotNumber,
} from "../../../model/reference/set-version-frozen.ts";
import { assignSplits, DEFAULT_PLAN } from "../../../model/reference/splits.ts";
import { setBreak } from "./set-breaks.ts";

const parts = (of: Record<string, Split>): ReadonlyMap<string, Split> => new Map(Object.entries(of));

function version(of: Record<string, Split>, over: Partial<FrozenVersion> = {}): FrozenVersion {
  return {
    name: "wire",
    version: "1.0.0",
    date: "2026-03-02",
    members: Object.entries(of).map(([id, split]) => ({
      breakId: id,
      number: id,
      type: "torsion",
      split,
      level: null,
      reason: "",
    })),
    by: "A. Reader",
    at: "2026-03-02T08:00:00Z",
    note: "",
    plan: { ...DEFAULT_PLAN, testFrozen: true },
    level: null,
    testGroups: Object.entries(of).flatMap(([id, split]) => (split === "test" ? [`break:${id}`] : [])),
    leftOut: [],
    revisions: Object.keys(of).map(() => 3),
    ...over,
  };
}

describe("a frozen test part", () => {
  const breaks = ["a", "b", "c", "d"].map((id) => setBreak(id));

  test("its breaks are kept from learning, the others are not", () => {
    expect([...heldBack(version({ a: "test", b: "train", c: "test" }), breaks)]).toEqual(["a", "c"]);
  });

  test("an identifier that a file name cannot hold is known again", () => {
    expect([...heldBack(version({ "a~002fb": "test" }, { testGroups: [] }), [setBreak("a/b")])]).toEqual(["a/b"]);
  });

  test("later breaks of a cast in it are kept from learning too, however the cast is written", () => {
    const frozen = version(
      { a: "test" },
      { plan: { ...DEFAULT_PLAN, groupBy: "cast", testFrozen: true }, testGroups: ["cast:k7"] },
    );
    const later = [setBreak("x", { cast: " K7 " }), setBreak("y", { cast: "K8" }), setBreak("z", { cast: null })];
    expect([...heldBack(frozen, later)]).toEqual(["x"]);
  });

  test("without a version, or where it is not frozen, nothing is held back", () => {
    expect(heldBack(null, breaks).size).toBe(0);
    expect(heldBack(version({ a: "test" }, { plan: DEFAULT_PLAN }), breaks).size).toBe(0);
  });

  test("the first version fills it, a later one lets no new break in and moves none", () => {
    const plan = { ...DEFAULT_PLAN, testFrozen: true };
    const first = Array.from({ length: 40 }, (_, i) => setBreak(`n${i}`));
    expect(planOfParts(plan, null).testFrozen).toBe(false);
    const before = assignSplits(first, planOfParts(plan, null)).of;
    const frozen = version(Object.fromEntries(before));
    expect([...before.values()].filter((s) => s === "test").length).toBeGreaterThan(3);
    expect(planOfParts(plan, frozen).testFrozen).toBe(true);
    const all = [...first, ...Array.from({ length: 40 }, (_, i) => setBreak(`m${i}`))];
    const after = assignSplits(all, planOfParts(plan, frozen), keptParts(frozen, all)).of;
    for (const { id } of first) expect(after.get(id)).toBe(before.get(id));
    expect(all.slice(40).every(({ id }) => after.get(id) !== "test")).toBe(true);
  });

  test("its groups are those that lie in it, each once", () => {
    const cast = [setBreak("a", { cast: "K7" }), setBreak("b", { cast: "k7" }), setBreak("c", { cast: "K9" })];
    const of = parts({ a: "test", b: "test", c: "train" });
    expect(testGroupsOf(cast, of, { ...DEFAULT_PLAN, groupBy: "cast" })).toEqual(["cast:k7"]);
  });
});

describe("numbers of versions", () => {
  const versions = [version({}, { version: "1.9.0" }), version({}, { version: "1.10.0" })];

  test("the latest is told by number, not by letters", () => {
    expect(latestOf(versions)?.version).toBe("1.10.0");
    expect(latestOf([])).toBeNull();
  });

  test.each([
    ["1.10", "three numbers"],
    ["1.9.0", "never written over"],
    ["1.9.5", "must come after 1.10.0"],
    ["1.10.1", "must be 2.0.0 or higher"],
  ])("%s is refused in words", (number, says) => {
    expect(whyNotNumber(number, versions, "2.0.0")).toContain(says);
  });

  test("what is high enough is taken", () => {
    expect(whyNotNumber("2.0.0", versions, "2.0.0")).toBeNull();
    expect(whyNotNumber("1.0.0", [], "1.0.0")).toBeNull();
  });
});

describe("what to do about a leak", () => {
  const members = [
    setBreak("a", { cast: "K7", coil: "1", hashes: ["p"] }),
    setBreak("b", { cast: "k7", coil: "2", hashes: ["p"] }),
  ];
  const [leak] = findLeaks(members, parts({ a: "train", b: "test" }), "break");

  test("breaks of one cast can be kept together by cast, which closes the leak; else one is taken out", () => {
    const ways = waysOut(leak!, members, "break", new Set());
    expect(ways.map((way) => (way.kind === "group-by" ? way.groupBy : way.number))).toEqual(["cast", "A", "B"]);
    const together = assignSplits(members, { ...DEFAULT_PLAN, groupBy: "cast" }).of;
    expect(findLeaks(members, together, "cast")).toEqual([]);
  });

  test("where an earlier version fixed both, keeping together is not offered", () => {
    expect(waysOut(leak!, members, "break", new Set(["a", "b"])).map((way) => way.kind)).toEqual([
      "leave-out",
      "leave-out",
    ]);
    expect(waysOut(leak!, members, "break", new Set(["a"]))[0]?.kind).toBe("group-by");
  });

  test("breaks without a cast are of no one cast", () => {
    const apart = members.map((m) => ({ ...m, cast: null, coil: null }));
    expect(waysOut(leak!, apart, "break", new Set()).every((way) => way.kind === "leave-out")).toBe(true);
  });
});

describe("since the last version", () => {
  const last = version({ a: "train", b: "test" });
  const now = (over: Partial<FrozenVersion> = {}) => ({ ...last, ...over });

  test("nothing changed: the number stays", () => {
    expect(sinceFrozen(last, now())).toMatchObject({ changed: false, proposed: "1.0.0", says: "Nothing changed" });
  });

  test("marks that were edited make a patch, and the breaks are named", () => {
    expect(sinceFrozen(last, now({ revisions: [3, 4] }))).toMatchObject({
      proposed: "1.0.1",
      edited: ["b"],
      says: "1 edited: b",
    });
  });

  test("another plan makes a patch, one that only lists its shares in another order does not", () => {
    const plan = { ...last.plan, shares: { test: 0.15, val: 0.15, train: 0.7 } };
    expect(sinceFrozen(last, now({ plan })).changed).toBe(false);
    expect(sinceFrozen(last, now({ plan: { ...plan, testFrozen: false } }))).toMatchObject({
      proposed: "1.0.1",
      planChanged: true,
    });
    expect(sinceFrozen(last, now({ level: "section" })).planChanged).toBe(true);
  });

  test("breaks that came, left or changed their label count more than edits", () => {
    const more = version({ a: "train", b: "test", c: "train" });
    expect(sinceFrozen(last, now({ members: more.members, revisions: [9, 3, 1] }))).toMatchObject({
      proposed: "1.1.0",
      says: "1 added; 1 edited: a",
    });
    const less = version({ a: "train" });
    expect(sinceFrozen(last, now({ members: less.members, revisions: [3] })).proposed).toBe("2.0.0");
  });

  test("before the first version everything is new", () => {
    expect(sinceFrozen(null, now())).toMatchObject({ changed: true, proposed: "1.0.0", difference: null });
  });
});
