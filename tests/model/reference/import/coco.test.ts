import { readFileSync } from "node:fs";
import { join } from "node:path";
import sharp from "sharp";
import { describe, expect, test } from "vitest";
import { COCO_CATEGORIES, cocoAnnotation } from "../../../../model/reference/export/coco.ts";
import { NoCoco, readCocoMarks, sizeFault } from "../../../../model/reference/import/coco.ts";
import { NO_REAL_DATA, realData } from "../../../real-data.ts";
import { mark } from "../../break/random-breaks.ts";

const file = (...annotations: object[]) => ({
  images: [{ id: 1, file_name: "a.jpg", width: 100, height: 80 }],
  categories: [...COCO_CATEGORIES, { id: 90, name: "rust" }],
  annotations: annotations.map((a, i) => ({ id: i + 1, image_id: 1, category_id: 5, ...a })),
});

describe("COCO marks", () => {
  test("outlines, boxes, points; several outlines become several marks", () => {
    const { pictures, faults, unknown } = readCocoMarks(
      file(
        {
          segmentation: [
            [1, 1, 9, 1, 9, 9],
            [20, 20, 30, 20, 30, 30, 20, 30],
          ],
        },
        { bbox: [5, 6, 10, 20] },
        { category_id: 2, segmentation: [[0, 0, 1, 0, 1, 1]], keypoints: [3, 4, 2, 50, 60, 2] },
        { category_id: 2, segmentation: [[0, 0, 1, 0, 1, 1]], keypoints: [3, 4, 2, 0, 0, 0] },
      ),
    );
    expect([faults, unknown]).toEqual([[], []]);
    expect(pictures[0]!.marks.map((m) => [m.feature, m.geometry.type])).toEqual([
      ["end_hole", "polygon"],
      ["end_hole", "polygon"],
      ["end_hole", "polygon"],
      ["neck", "line"],
      ["neck", "polygon"],
    ]);
    expect(pictures[0]!.marks[2]!.geometry).toEqual({
      type: "polygon",
      points: [
        [5, 6],
        [15, 6],
        [15, 26],
        [5, 26],
      ],
    });
  });

  test("what this program writes comes back as it was drawn", () => {
    const shapes = [
      mark("m1", {
        feature: "wire_outline",
        geometry: {
          type: "edges",
          points: [
            [5, 5],
            [90, 6],
            [5, 40],
            [90, 41],
          ],
        },
      }),
      mark("m2", {
        feature: "cone_flank",
        geometry: {
          type: "angle",
          points: [
            [5, 5],
            [50, 40],
            [90, 5],
          ],
        },
      }),
      mark("m3", { feature: "cone_apex", geometry: { type: "point", points: [[33.25, 21.5]] } }),
      mark("m4", {
        feature: "particle",
        geometry: {
          type: "polygon",
          points: [
            [1, 2],
            [30, 4],
            [20, 50],
          ],
        },
      }),
    ];
    const written = shapes.map((m, i) => cocoAnnotation(m, { id: 1, width: 100, height: 80 }, i + 1)!);
    const { marks } = readCocoMarks(file(...written)).pictures[0]!;
    expect(marks.map((m) => [m.feature, m.geometry])).toEqual(shapes.map((m) => [m.feature, m.geometry]));
  });

  test("categories that mean nothing here are counted, and taken once their meaning is said", () => {
    const some = file({ category_id: 90, bbox: [1, 1, 5, 5] }, { category_id: 90, bbox: [2, 2, 5, 5] });
    expect(readCocoMarks(some).unknown).toEqual([{ name: "rust", marks: 2 }]);
    expect(readCocoMarks(some, { rust: "face_deposit" }).pictures[0]!.marks.map((m) => m.feature)).toEqual([
      "face_deposit",
      "face_deposit",
    ]);
    const proto = { ...some, categories: [{ id: 90, name: "__proto__" }] };
    expect(readCocoMarks(proto).unknown).toEqual([{ name: "__proto__", marks: 2 }]);
  });

  test("what cannot be taken over is named mark by mark, the rest is taken", () => {
    const { faults, pictures } = readCocoMarks(
      file(
        { segmentation: { size: [80, 100], counts: [1, 2] } },
        { segmentation: [[1, 1, 9, 9]] },
        { bbox: [1, 1, 0, 5] },
        {},
        { image_id: 7, bbox: [1, 1, 5, 5] },
        { category_id: 77, bbox: [1, 1, 5, 5] },
        { bbox: [1, 1, 5, 5] },
      ),
    );
    expect(faults.map((f) => f.where)).toEqual(["mark 1", "mark 2", "mark 3", "mark 4", "mark 5", "mark 6"]);
    expect(faults[0]!.says).toContain("run-length");
    expect(pictures[0]!.marks).toHaveLength(1);
  });

  test.each([[null], [[]], [{ images: 3 }], [{ images: [], annotations: [{}], categories: [] }]])(
    "%j is none",
    (content) => {
      expect(() => readCocoMarks(content)).toThrow(NoCoco);
    },
  );

  test("a picture of another size is told before marks land beside their place", () => {
    const picture = { fileName: "a.jpg", widthPx: 100, heightPx: 80, marks: [], says: {} };
    expect(sizeFault(picture, { widthPx: 100, heightPx: 80 })).toBeNull();
    expect(sizeFault(picture, { widthPx: 80, heightPx: 100 })).toContain("on its side");
    expect(sizeFault(picture, { widthPx: 200, heightPx: 160 })).toContain("200 × 160");
  });
});

const real = realData();
describe.skipIf(real === null)(`52 real photographs of metal with 33 outlines (${NO_REAL_DATA})`, () => {
  test("all outlines in place: sizes of the files, areas and boxes as the file states them", async () => {
    const folder = join(real!, "metal-surface");
    const content = JSON.parse(readFileSync(join(folder, "annotations.coco.json"), "utf8")) as {
      annotations: { image_id: number; area: number; bbox: number[]; segmentation: number[][] }[];
      images: { id: number; file_name: string }[];
    };
    expect(readCocoMarks(content).unknown).toEqual([{ name: "pitting", marks: 33 }]);
    const { pictures, faults, unknown } = readCocoMarks(content, { pitting: "corrosion_pit" });
    expect([faults, unknown]).toEqual([[], []]);
    expect(pictures).toHaveLength(52);
    expect(pictures.filter((p) => p.marks.length > 0)).toHaveLength(30);
    expect(pictures.reduce((n, p) => n + p.marks.length, 0)).toBe(33);
    for (const picture of pictures) {
      const { width, height } = await sharp(join(folder, picture.fileName)).metadata();
      expect(sizeFault(picture, { widthPx: width, heightPx: height })).toBeNull();
      const image = content.images.find((i) => i.file_name === picture.fileName)!;
      const stated = content.annotations.filter((a) => a.image_id === image.id);
      picture.marks.forEach((imported, i) => {
        const back = cocoAnnotation(
          mark("m", { ...imported, photographId: "p" }),
          { id: image.id, width: picture.widthPx, height: picture.heightPx },
          1,
        )!;
        expect(back.area / stated[i]!.area).toBeCloseTo(1, 3);
        stated[i]!.bbox.forEach((v, k) => expect(Math.abs(back.bbox[k]! - v)).toBeLessThan(0.51));
      });
    }
  });
});
