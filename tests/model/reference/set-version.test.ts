import { describe, expect, test } from "vitest";
import {
  compareVersions,
  differenceOf,
  isVersion,
  nextVersion,
  type SetVersion,
  type VersionMember,
} from "../../../model/reference/set-version.ts";

const member = (breakId: string, over: Partial<VersionMember> = {}): VersionMember => ({
  breakId,
  number: breakId.toUpperCase(),
  type: "casting_void",
  split: "train",
  level: "both-ends",
  reason: "",
  ...over,
});
const version = (number: string, ...members: VersionMember[]): SetVersion => ({
  name: "breaks",
  version: number,
  date: "2026-03-02",
  members,
});

describe("the difference of two versions", () => {
  const first = version("1.2.3", member("a"), member("b"), member("c"), member("d", { split: "test" }));

  test("in plain words", () => {
    const second = version(
      "2.0.0",
      member("a", { type: "central_burst", reason: "section cut" }),
      member("b", { level: "section" }),
      member("d", { split: "train" }),
      member("e"),
      member("f"),
    );
    const found = differenceOf(first, second);
    expect(found.says).toBe(
      "2 added, 1 left out: C, 1 relabelled: A casting void → central burst (section cut), 1 on another level, " +
        "1 moved between parts: D test → train",
    );
    expect(found.atLeast).toBe("2.0.0");
    expect(found.added.map((m) => m.number)).toEqual(["E", "F"]);
  });

  test("the size of the change gives the least version", () => {
    const more = version("1.3.0", ...first.members, member("e"));
    expect(differenceOf(first, more).atLeast).toBe("1.3.0");
    const raised = version("1.2.4", ...first.members.map((m) => ({ ...m, level: "section" })));
    expect(differenceOf(first, raised).atLeast).toBe("1.2.4");
    expect(differenceOf(first, first)).toMatchObject({ says: "Nothing changed", atLeast: "1.2.3" });
    // A number that was changed on the sheet is no change of the set.
    const renamed = version("1.2.3", ...first.members.map((m) => ({ ...m, number: `${m.number}!` })));
    expect(differenceOf(first, renamed).says).toBe("Nothing changed");
  });
});

test("versions are three numbers, compared as numbers", () => {
  expect(["1.0.0", "0.10.2"].every(isVersion)).toBe(true);
  expect(["1.0", "1.0.0-rc1", "v1.0.0", "01.0.0", ""].some(isVersion)).toBe(false);
  expect(compareVersions("1.10.0", "1.9.9")).toBeGreaterThan(0);
  expect(compareVersions("2.0.0", "2.0.0")).toBe(0);
  expect(nextVersion("1.9.9", "minor")).toBe("1.10.0");
  expect(() => nextVersion("1.9", "minor")).toThrow(/three numbers/);
  expect(() => compareVersions("1.0.0", "x")).toThrow(/"x" is no version/);
});
