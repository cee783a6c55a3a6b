import { describe, expect, test } from "vitest";
import { awgToMm } from "../../../model/measure/awg.ts";
import { parseDieList, type DieListOptions } from "../../../model/route/die-list.ts";
import { bandedFriction, diesOfPaste } from "../../../model/route/pasted-dies.ts";

const faults = (text: string, options?: DieListOptions) =>
  parseDieList(text, options).faults.map((f) => [f.row, f.column, f.code]);
const outs = (text: string, options?: DieListOptions) => parseDieList(text, options).dies.map((d) => d.outMm);

describe("a die list pasted from a spreadsheet", () => {
  test("tabs, headings, decimal commas, full angle, bearing in % of d, µ", () => {
    const list = parseDieList(
      "Die\tIn (mm)\tOut (mm)\tFull angle (°)\tBearing (% of d)\tLubricant\tµ\tTonnes\r\n" +
        "A1\t8,00\t7,20\t14\t30\tsoap\t0,05\t12\r\n" +
        "A2\t7,20\t6,45\t12\t25\tsoap\t0,05\t\r\n",
    );
    expect(list.faults).toEqual([]);
    expect(list.rodMm).toBe(8);
    expect(list.dies[0]).toEqual({
      name: "A1",
      inMm: 8,
      outMm: 7.2,
      semiAngleDeg: 7,
      bearingMm: expect.closeTo(2.16, 9) as number,
      lubricant: "soap",
      mu: 0.05,
      m: null,
      tonnes: 12,
    });
    expect(list.dies[1]).toMatchObject({ name: "A2", semiAngleDeg: 6, tonnes: null });
  });

  test("semicolons, inches in the heading, half angle, shear factor", () => {
    const list = parseDieList("out [in];half angle;bearing mm;shear factor\n0.2;6;1,5;0.1\n0.18;6.5;1.2;0.1");
    expect(list.faults).toEqual([]);
    expect(list.dies.map((d) => [d.outMm, d.semiAngleDeg, d.bearingMm, d.m])).toEqual([
      [expect.closeTo(5.08, 9), 6, 1.5, 0.1],
      [expect.closeTo(4.572, 9), 6.5, 1.2, 0.1],
    ]);
  });

  test("commas with decimal points, no heading: in, out, angle", () => {
    const text = "8.0,7.2,6\n7.2,6.45,6";
    expect(parseDieList(text, { angle: "semi" }).dies.map((d) => d.semiAngleDeg)).toEqual([6, 6]);
    expect(parseDieList(text, { angle: "full" }).dies.map((d) => d.semiAngleDeg)).toEqual([3, 3]);
    expect(faults(text)).toEqual([[1, 3, "angle-kind-unknown"]]);
  });

  test("a column of diameters starts with the rod", () => {
    const list = parseDieList("8\n7.2\n6.45\n5.8");
    expect([list.rodMm, list.dies.map((d) => d.outMm)]).toEqual([8, [7.2, 6.45, 5.8]]);
    expect(outs("8\n7.2", { firstIsRod: false })).toEqual([8, 7.2]);
  });

  test("decimal commas in a single column are told from two columns", () => {
    expect(outs("8,00\n7,20\n6,45")).toEqual([7.2, 6.45]);
    expect(outs("8,00 7,20\n7,20 6,45")).toEqual([7.2, 6.45]);
    expect(outs("9,7\n7,6\n6,5")).toEqual([]);
    expect(faults("9,7\n7,6\n6,5")).toEqual([[1, 0, "ambiguous-comma"]]);
    expect(outs("9,7\n9,6")).toEqual([]);
    expect(outs("80,72,7\n72,65,6", { angle: "semi" })).toEqual([72, 65]);
    expect(faults("9,7\n10,6", { angle: "semi" })).toEqual([[2, 1, "not-a-reduction"]]);
  });

  test("two columns without headings: a chain of in and out, else out and angle", () => {
    expect(outs("8\t7.2\n7.2\t6.45")).toEqual([7.2, 6.45]);
    expect(parseDieList("7.2\t12\n6.45\t12", { angle: "full" }).dies.map((d) => [d.outMm, d.semiAngleDeg])).toEqual([
      [7.2, 6],
      [6.45, 6],
    ]);
  });

  test("AWG as option, as heading and in the cell (ASTM B258)", () => {
    const sizes = [awgToMm(2), awgToMm(3)];
    expect(outs("1\n2\n3", { unit: "AWG" })).toEqual(sizes);
    expect(outs("die\tAWG\na\t2\nb\t3")).toEqual(sizes);
    expect(outs("out\n2 AWG\nAWG 3")).toEqual(sizes);
    expect(outs("out\n4/0 AWG\n3/0 AWG")).toEqual([awgToMm(-3), awgToMm(-2)]);
    expect(faults("out\n2 AWG\n99 AWG")).toEqual([[3, 1, "awg-size"]]);
  });

  test("columns parted by spaces, with headings of several words", () => {
    const list = parseDieList("Die no   Out (mm)   Full angle\n1        7,2        12°\n2        6,45       12°");
    expect([list.faults, list.dies.map((d) => [d.name, d.outMm, d.semiAngleDeg])]).toEqual([
      [],
      [
        ["1", 7.2, 6],
        ["2", 6.45, 6],
      ],
    ]);
    expect(outs("Exit diameter\n7.2 mm\n6.45 mm")).toEqual([7.2, 6.45]);
    expect(parseDieList("die out semi\n1 7.2 6\n2 6.45 6").dies.map((d) => d.semiAngleDeg)).toEqual([6, 6]);
  });

  test("other length units in the cell", () => {
    expect(outs("out\n0.2 in\n180 mil\n4000 µm\n3,5 mm")).toEqual([
      expect.closeTo(5.08, 9),
      expect.closeTo(4.572, 9),
      4,
      3.5,
    ]);
  });

  test.each([
    ["", [[1, 0, "empty"]]],
    [" \n\t\t\n", [[1, 0, "empty"]]],
    ["die\tangle\n1\t12", [[1, 0, "no-diameter-column"]]],
    ["out\tsemi angle\n7.2\tsix\n6.45\t6", [[2, 2, "not-a-number"]]],
    ["out\tsemi angle\n7.2\t6\n-6\t6", [[3, 1, "not-positive"]]],
    ["out\tsemi angle\n7.2\t6\n6 feet\t6", [[3, 1, "unknown-unit"]]],
    ["out\tsemi angle\n7.2\t60", [[2, 2, "out-of-range"]]],
    ["out\tfull angle\n7.2\t100", [[2, 2, "out-of-range"]]],
    ["out\tmu\n7.2\t0.9", [[2, 2, "out-of-range"]]],
    ["die\tout\n1\t7.2\n2\t", [[3, 2, "missing-cell"]]],
    ["out\n7.2\n7.2", [[3, 1, "not-a-reduction"]]],
    ["in\tout\n8\t7.2\n6\t5.5", [[3, 1, "does-not-follow"]]],
    ["in\tout\n7\t7.2", [[2, 2, "not-a-reduction"]]],
    ["out\n7.2\n1.2.3", [[3, 1, "not-a-number"]]],
  ])("%j is marked in place", (text, expected) => {
    expect(faults(text)).toEqual(expected);
    for (const f of parseDieList(text).faults) expect(f.sentence).toMatch(/[.?]$/);
  });

  test("a bad row does not spoil the rows around it", () => {
    const list = parseDieList("out\n7.2\nx\n5.8\n5.2");
    expect(list.dies.map((d) => d.outMm)).toEqual([7.2, 5.8, 5.2]);
    expect(list.faults).toHaveLength(1);
  });
});

test("pasted dies become dies of a machine; what is missing takes the usual", () => {
  const friction = bandedFriction("mu", 0.06);
  expect(friction).toEqual({ kind: "mu", value: 0.06, low: 0.03, high: expect.closeTo(0.09, 9) as number });
  const { dies } = parseDieList("out\tm\tmu\n7.2\t0.8\t\n6.45\t\t0.05\n5.8\t\t");
  const made = diesOfPaste(dies, { semiAngleDeg: 7, friction, lubricant: "soap" });
  expect(made.map((d) => [d.name, d.semiAngleDeg, d.lubricant, d.friction.kind, d.friction.high])).toEqual([
    ["1", 7, "soap", "m", 1],
    ["2", 7, "soap", "mu", expect.closeTo(0.075, 9)],
    ["3", 7, "soap", "mu", expect.closeTo(0.09, 9)],
  ]);
});
