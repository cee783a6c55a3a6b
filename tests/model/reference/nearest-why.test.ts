import { describe, expect, test } from "vitest";
import { COLUMN_NAMES } from "../../../model/classifier/vector.ts";
import { comparedColumns } from "../../../model/reference/nearest-columns.ts";
import { nearestIndex } from "../../../model/reference/nearest-pack.ts";
import { whyNear } from "../../../model/reference/nearest-why.ts";

const columns = comparedColumns(COLUMN_NAMES);
/** A break by the columns that are known. */
const of = (known: Readonly<Record<string, number>>): Float32Array => {
  const unknown = Object.keys(known).find((name) => !COLUMN_NAMES.includes(name));
  if (unknown !== undefined) throw new Error(`No column ${unknown}`);
  return Float32Array.from(COLUMN_NAMES, (name) => known[name] ?? NaN);
};

const burst = { "cone_apex.any": 1, "cone_flank.any": 1, "end_hole.any": 1, "neck.any": 1 };
const set = [
  of({ ...burst, "end_hole.both": 0, "cone_flank.flank_angle_deg": 44, "pair.hole_cone": 1, "neck.ra_pct": 10 }),
  of({ "neck.any": 1, "shear_lip.any": 1, "shear_lip.both": 1, "end_hole.any": 0, "neck.ra_pct": 80 }),
  of({ "neck.any": 1, "shear_lip.any": 1, "shear_lip.both": 1, "end_hole.any": 0, "neck.ra_pct": 70 }),
  of({ "neck.any": 1, "end_hole.any": 1, "end_hole.both": 1, "neck.ra_pct": 20, "cone_flank.flank_angle_deg": 60 }),
];
const index = nearestIndex(set, columns);

describe("why a confirmed break is like the open one", () => {
  test("what fewest share comes first; what all have in common tells least", () => {
    const open = of({ ...burst, "pair.hole_cone": 1, "cone_flank.flank_angle_deg": 45, "neck.ra_pct": 12 });
    const { shared, differing } = whyNear(index, open, 0);
    const names = shared.map((r) => r.name);
    expect(names[0]).toBe("pair.hole_cone");
    expect(names.indexOf("neck.any")).toBe(names.length - 1);
    expect(shared.find((r) => r.name === "cone_flank.flank_angle_deg")).toMatchObject({
      here: 45,
      there: 44,
      unit: "°",
      kind: "number",
    });
    expect(differing).toEqual([]);
  });

  test("differing features, and one line for a feature that is on both ends", () => {
    const open = of({ "end_hole.any": 1, "end_hole.both": 1, "shear_lip.any": 0, "shear_lip.both": 0, "neck.any": 1 });
    const { shared, differing } = whyNear(index, open, 1);
    expect(shared.map((r) => r.name)).toEqual(["neck.any"]);
    // Seen here and not there, so "on both ends" is no news.
    expect(differing.map(({ name, here, there }) => [name, here, there])).toEqual([
      ["end_hole.any", 1, 0],
      ["shear_lip.any", 0, 1],
    ]);
    expect(whyNear(index, open, 3).shared.map((r) => r.name)).toEqual(["end_hole.both", "neck.any"]);
  });

  test("neither seen: no reason at all", () => {
    const open = of({ "end_hole.any": 0, "neck.any": 1 });
    const { shared, differing } = whyNear(index, open, 1);
    expect([...shared, ...differing].map((r) => r.name)).toEqual(["neck.any"]);
  });

  test("what the pixels show is one figure for each kind of view, the same as weighed by hand", () => {
    const faces = COLUMN_NAMES.filter((name) => name.startsWith("face."));
    const sides = COLUMN_NAMES.filter((name) => name.startsWith("side."));
    const view = (value: number) => Object.fromEntries([...faces, ...sides].map((name) => [name, value]));
    // None of 0, 1, 2, 3, 4 is far out, so the spread is their range.
    const seen = nearestIndex(
      [0, 1, 2, 3, 4].map((v) => of(view(v))),
      columns,
    );
    const { shared, differing, shown } = whyNear(seen, of(view(1)), 4);
    expect([...shared, ...differing]).toEqual([]);
    expect(shown.map(({ group }) => group).sort()).toEqual(["face", "side"]);
    for (const { apart } of shown) expect(apart).toBeCloseTo(3 / 4, 6);
  });
});
