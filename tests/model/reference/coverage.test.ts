import { describe, expect, test } from "vitest";
import {
  balanceOf,
  balanceWarnings,
  coverageCells,
  coverageTable,
  diameterClass,
} from "../../../model/reference/coverage.ts";
import type { Split } from "../../../model/reference/member.ts";
import { setBreakOf } from "../../../model/reference/member.ts";
import { photograph, startBreak } from "../break/random-breaks.ts";
import { setBreak } from "./set-breaks.ts";

const some = [
  setBreak("a", { lights: ["ring"] }),
  setBreak("b", { lights: ["ring", "side"], diameterMm: 0.25 }),
  setBreak("c", { type: "torsion", metal: null, machine: null, diameterMm: 12 }),
];

test.each([
  [null, "not recorded"],
  [0.05, "below 0.1 mm"],
  [0.1, "0.1 to 0.3 mm"],
  [1.6, "1 to 3 mm"],
  [8, "8 mm and above"],
])("%j mm is %s", (mm, name) => expect(diameterClass(mm)).toBe(name));

describe("coverage", () => {
  test("tables by axis: sizes in order, what was not recorded last, two lights count twice", () => {
    expect(coverageTable(some, "diameter").values).toEqual(["0.1 to 0.3 mm", "1 to 3 mm", "8 mm and above"]);
    expect(coverageTable(some, "metal")).toEqual({
      axis: "metal",
      values: ["copper", "not recorded"],
      rows: [
        { type: "central_burst", counts: [2, 0], breaks: 2 },
        { type: "torsion", counts: [0, 1], breaks: 1 },
      ],
    });
    expect(coverageTable(some, "light").rows[0]).toEqual({ type: "central_burst", counts: [2, 1, 0], breaks: 2 });
  });
  test("cells of the whole cross", () => {
    const cells = coverageCells([...some, setBreak("d", { lights: ["ring"] })]);
    expect(cells[0]).toEqual({
      type: "central_burst",
      metal: "copper",
      diameter: "1 to 3 mm",
      machine: "RB-1",
      light: "ring",
      breaks: 2,
    });
    expect(cells).toHaveLength(4);
  });
});

describe("warnings", () => {
  const of = (list: readonly { id: string }[], part: (i: number) => Split) =>
    new Map(list.map((m, i) => [m.id, part(i)] as const));
  test("few, uneven, missing in a part, tied to one machine, invented: each in words", () => {
    const bursts = Array.from({ length: 45 }, (_, i) => setBreak(`b${i}`, { machine: i % 2 ? "RB-1" : "RB-2" }));
    const turned = Array.from({ length: 4 }, (_, i) => setBreak(`t${i}`, { type: "torsion", invented: i === 0 }));
    const list = [...bursts, ...turned];
    const says = balanceWarnings(
      list,
      of(list, (i) => (i % 3 === 0 ? "train" : i % 3 === 1 ? "val" : "train")),
    );
    expect(says).toContain("Only 4 of torsion: figures about it mean little. Confirm more, or leave the type out.");
    expect(says).toContain("The most frequent type has 45 breaks, the rarest 4. Judge each type by itself.");
    expect(says).toContain("The test part holds no central burst.");
    expect(says).toContain(
      "All 4 of torsion have one machine (RB-1): the machine could be learnt instead of the type.",
    );
    expect(says.at(-1)).toMatch(/^1 of 49 breaks are rendered or invented/);
  });
  test("an even set of two types says nothing", () => {
    const list = (["torsion", "central_burst"] as const).flatMap((type) =>
      Array.from({ length: 12 }, (_, i) => setBreak(`${type}${i}`, { type, machine: i % 2 ? "RB-1" : "RB-2" })),
    );
    expect(
      balanceWarnings(
        list,
        of(list, (i) => (["train", "val", "test"] as const)[i % 3]!),
      ),
    ).toEqual([]);
  });
});

test("a record becomes a member once it is confirmed and while it is not in the bin", () => {
  const start = startBreak();
  expect(setBreakOf(start)).toBeNull();
  const confirmed = {
    ...start,
    context: {
      ...start.context,
      metal: "ETP copper wire",
      cast: " K7 ",
      coil: " ",
      nominalDiameterMm: 1.6,
      measuredDiameterMm: 1.58,
    },
    ends: {
      machine: { ...start.ends.machine, photographs: [photograph("p1", { light: "ring", hash: "a".repeat(64) })] },
      takeUp: { ...start.ends.takeUp, photographs: [photograph("p2", { hash: "a".repeat(64), rendered: true })] },
    },
    confirmations: [
      {
        kind: "confirmed" as const,
        id: "c",
        type: "torsion" as const,
        means: [],
        reason: "",
        by: "AB",
        at: start.createdAt,
        suggestion: {
          verdict: "torsion" as const,
          ranking: [],
          says: "",
          gates: [],
          for: [],
          against: [],
          notes: [],
          requests: [],
          missing: [],
          origin: null,
          rulesVersion: "1",
        },
        revision: 0,
      },
    ],
  };
  expect(setBreakOf(confirmed)).toEqual(
    setBreak("b-0001", {
      type: "torsion",
      cast: "K7",
      machine: null,
      diameterMm: 1.58,
      lights: ["ring"],
      hashes: ["a".repeat(64)],
      invented: true,
    }),
  );
  expect(setBreakOf({ ...confirmed, binnedAt: start.createdAt })).toBeNull();
});

test("a warning names the breaks it is about", () => {
  const breaks = [setBreak("a"), setBreak("b", { type: "torsion", invented: true })];
  const warnings = balanceOf(breaks, new Map());
  expect(warnings.find(({ says }) => says.startsWith("Only 1 of torsion"))?.breakIds).toEqual(["b"]);
  expect(warnings.find(({ says }) => says.includes("rendered or invented"))?.breakIds).toEqual(["b"]);
});
