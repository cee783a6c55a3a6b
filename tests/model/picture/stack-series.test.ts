import { describe, expect, it } from "vitest";
import { applyEdit } from "../../../model/break/edits.ts";
import { newBreak } from "../../../model/break/new-break.ts";
import { originalsOf } from "../../../model/break/originals.ts";
import type { Photograph } from "../../../model/break/wire-break.ts";
import { reading } from "../../../model/measure/uncertain.ts";
import type { SeriesCandidate } from "../../../model/picture/stack/find-series.ts";
import { findSeries } from "../../../model/picture/stack/find-series.ts";
import { onReference } from "../../../model/picture/stack/placement.ts";
import { readingText, takeReading, type DepthReading } from "../../../web/bench/depth-measures.ts";
import { stepFrom, StepError } from "../../../web/bench/depth-step.ts";
import fc from "../../properties.ts";

const file = (n: number, second: number | null, more: Partial<SeriesCandidate> = {}): SeriesCandidate => ({
  fileName: `IMG_${String(n).padStart(4, "0")}.jpg`,
  widthPx: 400,
  heightPx: 300,
  capturedAt: second === null ? null : `2026-03-09T10:12:${String(second).padStart(2, "0")}`,
  ...more,
});

describe("files that look like one focus series", () => {
  it("running numbers taken seconds apart are one, in the order of their numbers", () => {
    const files = [4, 2, 3, 1, 5].map((n) => file(n, 3 * n));
    expect(findSeries(files).map((g) => g.map((f) => f.fileName))).toEqual([
      [1, 2, 3, 4, 5].map((n) => `IMG_000${n}.jpg`),
    ]);
  });

  it("a gap in number, time or size ends a series, and three are none", () => {
    expect(findSeries([1, 2, 3].map((n) => file(n, n)))).toEqual([]);
    expect(findSeries([1, 2, 3, 5, 6, 7].map((n) => file(n, n)))).toEqual([]);
    expect(findSeries([1, 2, 3, 4].map((n) => file(n, n < 3 ? n : n + 30)))).toEqual([]);
    expect(findSeries([1, 2, 3, 4].map((n) => file(n, n, { widthPx: n < 3 ? 400 : 401 })))).toEqual([]);
    expect(findSeries([1, 2, 3, 4].map((n) => file(n, n === 3 ? null : n)))).toEqual([]);
  });
});

describe("placements of frames", () => {
  it("one upon the other is the same as one after the other", () => {
    const number = (min: number, max: number) => fc.double({ min, max, noNaN: true });
    const placement = fc.record({
      scale: number(0.96, 1.04),
      dx: number(-20, 20),
      dy: number(-20, 20),
      gain: number(0.5, 2),
    });
    fc.assert(
      fc.property(placement, placement, number(-100, 100), (next, before, x) => {
        const direct = onReference(next, before);
        const twice = next.scale * (before.scale * x + before.dx) + next.dx;
        expect(direct.scale * x + direct.dx).toBeCloseTo(twice, 8);
      }),
    );
  });
});

describe("the focus step as typed", () => {
  it("takes a number, with 1 % as its uncertainty where none is typed; empty is unknown", () => {
    expect(stepFrom("40", "")).toEqual({ value: 40, u: 0.4 });
    expect(stepFrom(" 12,5 ", "0.2")).toEqual({ value: 12.5, u: 0.2 });
    expect(stepFrom("  ", "0.2")).toBeNull();
  });

  it.each([
    ["0", ""],
    ["-4", ""],
    ["forty", ""],
    ["40", "-1"],
    ["40", "50"],
  ])("refuses %s with uncertainty %s in words", (step, u) => {
    expect(() => stepFrom(step, u)).toThrow(StepError);
  });
});

describe("a composite in the record", () => {
  const photograph: Photograph = {
    id: "p1",
    hash: "a".repeat(64),
    fileName: "x-stack.png",
    mediaType: "image/png",
    byteLength: 10,
    widthPx: 400,
    heightPx: 300,
    orientation: 1,
    capturedAt: null,
    view: "end_on",
    turnDeg: 0,
    scale: null,
    axisDeg: null,
    rendered: false,
    stack: {
      frames: [
        { hash: "b".repeat(64), fileName: "1.png" },
        { hash: "c".repeat(64), fileName: "2.png" },
      ],
      stepUm: { value: 40, u: 0.4 },
    },
  };
  const at = "2026-03-09T10:00:00Z";
  const empty = newBreak("b1", "B-1", at);
  const filed = applyEdit(empty, { kind: "add-photograph", side: "machine", index: 0, photograph }, at).next;
  const flank: DepthReading = {
    label: "Flank angle to the axis",
    unit: "°",
    quantity: reading("x", 45.3, 0.35),
    remark: "",
    takes: { feature: "cone_flank", key: "flank_angle_deg" },
  };
  const fresh = { id: "m1", by: "reader", at };

  it("keeps the originals of its frames", () => {
    const hashes = originalsOf(filed).map((o) => o.hash);
    expect(hashes).toEqual(expect.arrayContaining(["a".repeat(64), "b".repeat(64), "c".repeat(64)]));
  });

  it("a reading becomes a mark that says where it came from, and a second one joins it", () => {
    const edit = takeReading(flank, { record: filed, side: "machine", photograph }, fresh)!;
    const once = applyEdit(filed, edit, at).next;
    const [mark] = once.ends.machine.marks;
    expect(mark).toMatchObject({ feature: "cone_flank", given: { flank_angle_deg: 45.3 }, photographId: "p1" });
    expect(mark?.note).toContain("from focus stack");
    expect(mark?.note).toContain(readingText(flank));
    const height = { ...flank, label: "Height", takes: { feature: "cone_flank", key: "cone_height_d" } } as const;
    const again = takeReading(height, { record: once, side: "machine", photograph }, { ...fresh, id: "m2" })!;
    const twice = applyEdit(once, again, at).next;
    expect(twice.ends.machine.marks).toHaveLength(1);
    expect(Object.keys(twice.ends.machine.marks[0]!.given).sort()).toEqual(["cone_height_d", "flank_angle_deg"]);
    expect(takeReading({ ...flank, takes: null }, { record: once, side: "machine", photograph }, fresh)).toBeNull();
  });
});
