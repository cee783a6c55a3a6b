import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { COLUMN_NAMES } from "../../../model/classifier/vector.ts";
import { seeded } from "../../../model/classifier/seeded.ts";
import { comparedColumns, type ColumnKind, type ComparedColumn } from "../../../model/reference/nearest-columns.ts";
import { compare, dampedDistance, gower, scaledColumns, spreadOf } from "../../../model/reference/nearest-likeness.ts";
import { nearest, nearestPlainly } from "../../../model/reference/nearest.ts";
import { nearestIndex } from "../../../model/reference/nearest-pack.ts";
import fc from "../../properties.ts";

const column = (kind: ColumnKind, group: ComparedColumn["group"] = "marks", weight = 256): ComparedColumn => ({
  name: `${group}.${kind}`,
  kind,
  group,
  weight,
  leastWidth: 0,
  unit: null,
});

const anyColumn = fc.record({
  kind: fc.constantFrom<ColumnKind>("presence", "alternative", "number"),
  group: fc.constantFrom<ComparedColumn["group"]>("marks", "facts", "face", "side"),
  weight: fc.constantFrom(0, 1, 10, 85, 256),
});
/** Few different values, so that many breaks are equally far; wild ones beyond any spread. */
const anyNumber = fc.oneof(
  { weight: 6, arbitrary: fc.float({ min: -3, max: 3, noNaN: true }) },
  { weight: 3, arbitrary: fc.constantFrom(0, 1, 2.5, -1e6, 1e6) },
  { weight: 3, arbitrary: fc.constant(NaN) },
);
const anyFlag = fc.constantFrom(0, 1, NaN);

const anySearch = fc.array(anyColumn, { minLength: 1, maxLength: 14 }).chain((columns) => {
  const vector = fc.tuple(...columns.map(({ kind }) => (kind === "number" ? anyNumber : anyFlag)));
  return fc.record({
    columns: fc.constant(columns.map(({ kind, group, weight }) => column(kind, group, weight))),
    vectors: fc.array(vector, { maxLength: 60 }),
    query: vector,
    most: fc.integer({ min: 1, max: 9 }),
    except: fc.integer({ min: -1, max: 20 }),
  });
});

describe("nearest confirmed breaks", () => {
  test("the packed search gives exactly what comparing one by one gives", () => {
    fc.assert(
      fc.property(anySearch, ({ columns, vectors, query, most, except }) => {
        const index = nearestIndex(
          vectors.map((v) => Float32Array.from(v)),
          columns,
        );
        const asked = Float32Array.from(query);
        const skipped = Math.min(except, vectors.length - 1);
        expect(nearest(index, asked, most, skipped)).toEqual(nearestPlainly(index, asked, most, skipped));
      }),
      { numRuns: 600 },
    );
  });

  test("also over several blocks of breaks, with all columns of a break", () => {
    const next = seeded(11);
    const columns = comparedColumns(COLUMN_NAMES);
    const made = () =>
      Float32Array.from(columns, ({ kind }) =>
        next() < 0.4 ? NaN : kind === "number" ? next() + next() : next() < 0.3 ? 1 : 0,
      );
    const index = nearestIndex(
      Array.from({ length: 9000 }, () => made()),
      columns,
    );
    for (let i = 0; i < 4; i++) {
      const query = made();
      const found = nearest(index, query, 10);
      expect(found).toHaveLength(10);
      expect(found).toEqual(nearestPlainly(index, query, 10));
      // A break that is one of the confirmed ones is most like itself, unless it is passed over.
      const own = index.vectors[4000 + i]!;
      expect(nearest(index, own, 1)[0]!.at).toBe(4000 + i);
      expect(nearest(index, own, 1, 4000 + i)[0]!.at).not.toBe(4000 + i);
    }
  });

  test("fewer than three columns in common: nothing comparable; facts of the wire do not count", () => {
    const marks = [column("presence"), column("presence"), column("alternative")];
    const facts = [column("alternative", "facts"), column("alternative", "facts"), column("alternative", "facts")];
    const query = [1, 1, 1, 1, 1, 1];
    const two = nearestIndex([[1, 1, NaN, 1, 1, 1]], [...marks, ...facts]);
    expect(nearest(two, query, 5)).toEqual([]);
    const three = nearestIndex([[1, 1, 1, NaN, NaN, NaN]], [...marks, ...facts]);
    expect(nearest(three, query, 5)).toEqual([{ at: 0, likeness: 1 - 2 / 7, observed: 3 }]);
  });

  test("alike in many columns comes before alike in few, and what is absent on both counts for nothing", () => {
    const columns = Array.from({ length: 12 }, () => column("presence"));
    const query = Array.from({ length: 12 }, (_, k) => (k < 8 ? 1 : 0));
    const few = query.map((v, k) => (k < 4 ? v : NaN));
    const fewAndAbsences = query.map((v, k) => (k < 4 || k >= 8 ? v : NaN));
    const found = nearest(nearestIndex([few, fewAndAbsences, query], columns), query, 3);
    expect(found.map(({ at }) => at)).toEqual([2, 0, 1]);
    expect(found[1]!.likeness).toBe(found[2]!.likeness);
    expect(found[0]!.likeness).toBeCloseTo(1 - 2 / 12, 12);
  });

  test("weights that cannot be packed are refused", () => {
    expect(() => nearestIndex([], [column("presence", "marks", 2 ** 17)])).toThrow(/too large/);
  });
});

describe("columns of a break", () => {
  const columns = comparedColumns(COLUMN_NAMES);
  const of = (name: string) => columns.find((c) => c.name === name)!;

  test("every column is known by kind and group", () => {
    expect(of("end_hole.both")).toMatchObject({ kind: "presence", group: "marks", weight: 256 });
    expect(of("end_hole.shape.conical")).toMatchObject({ kind: "presence", group: "marks" });
    expect(of("neck.one_sided")).toMatchObject({ kind: "alternative", group: "marks" });
    expect(of("neck.ra_pct")).toMatchObject({ kind: "number", unit: "%" });
    expect(of("cone_flank.flank_angle_deg").unit).toBe("°");
    expect(of("pair.hole_cone").kind).toBe("presence");
    expect(of("context.pickled")).toMatchObject({ kind: "alternative", group: "facts" });
    expect(of("context.wire_mm_log")).toMatchObject({ kind: "number", group: "facts" });
    // Whatever kind a column is read as, its own name decides: none falls through to the wrong group.
    for (const { name, group, kind } of columns) {
      if (/^(face|side|colour)\./.test(name)) expect([name, kind, group]).toEqual([name, "number", name.split(".")[0]]);
      else expect(["marks", "facts"]).toContain(group);
    }
  });

  test("all numbers of the faces together weigh as much as six marks, the metals as one fact", () => {
    const sum = (test: (c: ComparedColumn) => boolean) =>
      columns.filter(test).reduce((total, c) => total + c.weight, 0) / 256;
    expect(sum((c) => c.group === "face")).toBeCloseTo(6, 0);
    expect(sum((c) => c.name.startsWith("context.metal."))).toBeCloseTo(1, 1);
    expect(of("wire_outline.any").weight + of("ends.seen").weight).toBe(0);
  });
});

interface Outside {
  readonly kinds: readonly ColumnKind[];
  readonly weights: readonly number[];
  readonly values: readonly (readonly (number | null)[])[];
  readonly spreads: readonly (readonly [number, number])[];
  readonly pairs: readonly (readonly [number, number, number | null])[];
}
const outside = JSON.parse(readFileSync(new URL("../../outside/gower.json", import.meta.url), "utf8")) as Outside;

describe("Gower's coefficient as numpy computes it (tests/outside/gower.py)", () => {
  const vectors = outside.values.map((row) => Float32Array.from(row, (v) => v ?? NaN));
  const columns = outside.kinds.map((kind, k) => column(kind, "marks", outside.weights[k]));
  const scaled = scaledColumns(columns, vectors);

  test("spreads from the quartiles", () => {
    scaled.forEach(({ spread }, k) => {
      expect(spread.low).toBeCloseTo(outside.spreads[k]![0], 4);
      expect(spread.width).toBeCloseTo(outside.spreads[k]![1], 4);
    });
  });

  test("all 820 pairs, some columns missing", () => {
    expect(outside.pairs).toHaveLength(820);
    for (const [i, j, expected] of outside.pairs) {
      const found = compare(scaled, vectors[i]!, vectors[j]!);
      if (expected === null) expect(found.weight).toBe(0);
      else expect(gower(found)).toBeCloseTo(expected, 5);
    }
  });

  test("damped it is the same as with four more columns half alike", () => {
    const { apart, weight } = compare(scaled, vectors[0]!, vectors[1]!);
    const parts = 4 * 256;
    expect(1 - dampedDistance(apart, weight)).toBeCloseTo(
      (gower({ apart, weight, observed: 0 }) * weight + 0.5 * parts) / (weight + parts),
      12,
    );
  });
});

test("a spread reaches no farther than the values and is never narrower than two fifths of the median, and there is none without a value", () => {
  expect(spreadOf(Float32Array.of())).toEqual({ low: 0, width: 0 });
  expect(spreadOf(Float32Array.of(0, 0, 0)).width).toBe(0);
  expect(spreadOf(Float32Array.of(10))).toEqual({ low: 8, width: 4 });
  expect(spreadOf(Float32Array.of(-10, -10, -10))).toEqual({ low: -12, width: 4 });
  expect(spreadOf(Float32Array.of(10), 6)).toEqual({ low: 7, width: 6 });
  // Quartiles 1.25 and 3.75: what lies beyond 3.75 + 3 · 2.5 counts as there.
  expect(spreadOf(Float32Array.of(0, 1, 2, 3, 4, 1000))).toEqual({ low: 0, width: 11.25 });
  // The quartiles coincide: the squares decide. 40 zeros and one 41: variance 41.
  const rare = Float32Array.from({ length: 41 }, (_, i) => (i === 7 ? 41 : 0));
  expect(spreadOf(rare).width).toBeCloseTo(3 * 1.349 * Math.sqrt(41), 4);
});
