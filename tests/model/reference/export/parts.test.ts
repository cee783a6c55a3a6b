import { describe, expect, test } from "vitest";
import type { Geometry } from "../../../../model/break/geometry.ts";
import { FEATURE_IDS } from "../../../../model/evidence/features.ts";
import { categoryId, COCO_CATEGORIES, cocoAnnotation, cocoImage } from "../../../../model/reference/export/coco.ts";
import { csvLine, isFormulaText, readCsv } from "../../../../model/reference/export/csv.ts";
import { LICENCES, licenceOf } from "../../../../model/reference/export/licences.ts";
import { areaOf, boxOf, markShape } from "../../../../model/reference/export/mark-shape.ts";
import { codeOfPerson, withCodes } from "../../../../model/reference/export/people.ts";
import { caseIdOf } from "../../../../model/reference/export/set-names.ts";
import { mark, photograph } from "../../break/random-breaks.ts";
import fc from "../../../properties.ts";

describe("tables", () => {
  test("any text comes back as it was, but for the apostrophe before a formula", () => {
    fc.assert(
      fc.property(fc.array(fc.array(fc.string(), { minLength: 2, maxLength: 4 }), { maxLength: 5 }), (rows) => {
        const read = readCsv(csvLine(["a", "b"]) + rows.map(csvLine).join(""));
        expect(read.lines).toEqual(
          rows.map((row) => row.map((cell) => (/^[=+\-@\t\r]/.test(cell) ? `'${cell}` : cell))),
        );
      }),
    );
  });
  test.each([
    ["=1+1", "'=1+1"],
    ["+49 30", "'+49 30"],
    ["-cut", "'-cut"],
    ["@home", "'@home"],
    ["\tx", "'\tx"],
    ['say "no", twice', '"say ""no"", twice"'],
  ])("%j becomes %j", (cell, written) => expect(csvLine([cell])).toBe(`${written}\r\n`));
  test("numbers stay numbers, also below zero", () => {
    expect(csvLine([-3.5, true, null, 7])).toBe("-3.5,true,,7\r\n");
    expect(isFormulaText("-3.5")).toBe(false);
    expect(isFormulaText("-3.5+1")).toBe(true);
  });
  test("a quoted cell without an end is named by its line", () => {
    expect(() => readCsv('a,b\n1,2\n3,"x\n')).toThrow("Line 3: a cell in quotes does not end.");
  });
});

describe("people", () => {
  test("one code per person and seed; a code stays a code", () => {
    const code = codeOfPerson("A. Brandt", "s");
    expect(code).toMatch(/^reader-[0-9a-z]{8}$/);
    // Python 3.11: hmac.new(b"s", b"a. brandt", "sha256").digest()[:5] as a number, in base 36.
    expect(code).toBe("reader-cpvovui0");
    expect(codeOfPerson(" a. brandt ", "s")).toBe(code);
    expect(codeOfPerson("A. Brandt", "t")).not.toBe(code);
    expect(codeOfPerson(code, "t")).toBe(code);
    expect(codeOfPerson("", "s")).toBe("");
  });
  test("every `by` however deep, and nothing else", () => {
    const coded = withCodes(
      { by: "AB", note: "by AB", list: [{ edit: { mark: { by: "AB", at: "x" } } }], n: 1, no: null },
      "s",
    );
    const code = codeOfPerson("AB", "s");
    expect(coded).toEqual({
      by: code,
      note: "by AB",
      list: [{ edit: { mark: { by: code, at: "x" } } }],
      n: 1,
      no: null,
    });
  });
});

describe("shapes", () => {
  const px = fc.double({ min: -50, max: 250, noNaN: true });
  const point = fc.tuple(px, px);
  const points = (n: number) => fc.array(point, { minLength: n, maxLength: n });
  const geometry = fc.oneof(
    point.map((p): Geometry => ({ type: "point", points: [p] })),
    points(2).map((p): Geometry => ({ type: "line", points: p as never })),
    fc.array(point, { minLength: 2, maxLength: 9 }).map((p): Geometry => ({ type: "polyline", points: p })),
    fc.array(point, { minLength: 3, maxLength: 9 }).map((p): Geometry => ({ type: "polygon", points: p })),
    points(3).map((p): Geometry => ({ type: "angle", points: p as never })),
    points(4).map((p): Geometry => ({ type: "edges", points: p as never })),
    fc
      .tuple(px, px, fc.double({ min: 0, max: 90, noNaN: true }), fc.double({ min: 0, max: 90, noNaN: true }), px)
      .map(([cx, cy, rx, ry, angle_deg]): Geometry => ({ type: "ellipse", cx, cy, rx, ry, angle_deg })),
  );
  test("whatever is drawn, outlines lie inside the picture, with an area, and the box is theirs", () => {
    fc.assert(
      fc.property(geometry, (shape) => {
        const { outlines } = markShape(shape, 200, 150);
        for (const outline of outlines) {
          expect(areaOf(outline)).toBeGreaterThan(0);
          expect(outline.every(([x, y]) => x >= 0 && y >= 0 && x <= 200 && y <= 150)).toBe(true);
        }
        if (outlines.length > 0) {
          const [x, y, w, h] = boxOf(outlines);
          expect(x >= 0 && y >= 0 && x + w <= 200.01 && y + h <= 150.01).toBe(true);
        }
      }),
    );
  });
  test("known by hand", () => {
    const whole = (g: Geometry) => markShape(g, 1000, 1000).outlines.map(areaOf);
    expect(
      whole({
        type: "line",
        points: [
          [100, 100],
          [200, 100],
        ],
      }),
    ).toEqual([200]);
    expect(whole({ type: "point", points: [[10, 10]] })).toEqual([4]);
    expect(
      whole({
        type: "edges",
        points: [
          [0, 50],
          [100, 50],
          [0, 90],
          [50, 90],
        ],
      }),
    ).toEqual([200, 100]);
    expect(whole({ type: "ellipse", cx: 500, cy: 500, rx: 100, ry: 50, angle_deg: 30 })[0]).toBeCloseTo(
      Math.PI * 5000,
      -2,
    );
    // Half of a square hangs over the left side.
    expect(
      whole({
        type: "polygon",
        points: [
          [-10, 0],
          [10, 0],
          [10, 20],
          [-10, 20],
        ],
      }),
    ).toEqual([200]);
    expect(whole({ type: "point", points: [[-40, 10]] })).toEqual([]);
  });
});

describe("COCO", () => {
  test("a category is the number in the feature's code, for ever", () => {
    expect(COCO_CATEGORIES.map((c) => c.id)).toEqual(Array.from({ length: 34 }, (_, i) => i + 1));
    expect(COCO_CATEGORIES.map((c) => c.name)).toEqual(FEATURE_IDS);
    expect([categoryId("wire_outline"), categoryId("end_hole"), categoryId("bright_patch")]).toEqual([1, 5, 34]);
  });
  test("an image carries break, end, view and scale with its uncertainty", () => {
    const one = photograph("p1", {
      scale: {
        method: "wire-diameter",
        diameterMm: { value: 2, u: 0.01 },
        diameterPx: { value: 1000, u: 2 },
        markId: null,
      },
      capturedAt: "2026-03-02T07:41:10",
    });
    const image = cocoImage(one, "takeUp", { id: 3, fileName: "x.jpg", caseId: "b" });
    expect(image).toMatchObject({ end: "B", view: "end_on", um_per_px: 2, scale_method: "nominal_diameter" });
    expect(image.um_per_px_u).toBeCloseTo(2 * Math.hypot(0.01 / 2, 2 / 1000), 6);
    // Without an offset from UTC it is no time of RFC 3339.
    expect(image.date_captured).toBeUndefined();
    expect(cocoImage({ ...one, scale: null }, "machine", { id: 1, fileName: "", caseId: "" })).toMatchObject({
      um_per_px: null,
      um_per_px_u: null,
      scale_method: "none",
      end: "A",
    });
  });
  test("points outside the picture count as not there; marks that are absent or not drawn are none", () => {
    const image = { id: 1, width: 100, height: 100 };
    const line = mark("m", {
      feature: "neck",
      photographId: "p1",
      geometry: {
        type: "line",
        points: [
          [-20, 50],
          [50, 50],
        ],
      },
    });
    const found = cocoAnnotation(line, image, 9)!;
    expect(found).toMatchObject({
      category_id: 2,
      keypoints: [0, 0, 0, 50, 50, 2],
      num_keypoints: 1,
      bbox: [0, 49, 50, 2],
      area: 100,
    });
    expect(cocoAnnotation({ ...line, state: "absent" }, image, 9)).toBeNull();
    expect(cocoAnnotation({ ...line, geometry: null }, image, 9)).toBeNull();
  });
});

test("licences by their SPDX identifier", () => {
  expect(LICENCES.every(({ url }) => url.startsWith("https://creativecommons.org/"))).toBe(true);
  expect(licenceOf("cc0-1.0").id).toBe("CC0-1.0");
  expect(() => licenceOf("GPL")).toThrow(/Choose one of CC-BY-4.0/);
});

test("two identifiers never share a name, and a name is harmless", () => {
  fc.assert(
    fc.property(fc.string(), fc.string(), (a, b) => {
      expect(caseIdOf(a)).toMatch(/^[A-Za-z0-9_~-]*$/);
      expect(caseIdOf(a) === caseIdOf(b)).toBe(a === b);
    }),
  );
});
