import sharp from "sharp";
import { beforeAll, describe, expect, test } from "vitest";
import { checkSet } from "../../model/reference/check/check-set.ts";
import type { FaultCode } from "../../model/reference/check/fault.ts";
import type { CocoFile } from "../../model/reference/export/coco.ts";
import { PATHS } from "../../model/reference/export/set-names.ts";
import { checkTools } from "../../scripts/reference-set/check-tools.ts";
import { demoMill, type Files, madeSet, resealed, textOf, utf8 } from "./made-set.ts";

const tools = checkTools();
const check = (files: Files, twice: readonly string[] = []) =>
  checkSet(
    {
      paths: [...files.keys()],
      twice,
      read: (path) => Promise.resolve(files.get(path)!),
    },
    tools,
  );

let whole: Files;
beforeAll(async () => {
  whole = (await madeSet((await demoMill()).slice(0, 3))).files;
});

const TRAIN = "annotations/instances_train.json";
type Loose = Record<string, unknown>;
/** Something loose to plant faults in. */
interface Marks {
  categories: Loose[];
  licenses: Loose[];
  images: Loose[];
  annotations: (Loose & { segmentation: number[][]; bbox: number[]; area: number; keypoints?: number[] })[];
}
const marks =
  (change: (file: Marks) => void, path = TRAIN) =>
  (files: Files): void => {
    const file = JSON.parse(textOf(files, path)) as Marks;
    change(file);
    files.set(path, utf8(JSON.stringify(file)));
  };
const text =
  (path: string, from: string | RegExp, to: string) =>
  (files: Files): void => {
    const before = textOf(files, path);
    const after = before.replace(from, to);
    if (after === before) throw new Error(`Nothing to change in ${path}.`);
    files.set(path, utf8(after));
  };
const croissant =
  (change: (file: Loose & { distribution: Loose[]; recordSet: (Loose & { field: Loose[] })[] }) => void) =>
  (files: Files): void => {
    const file = JSON.parse(textOf(files, PATHS.croissant)) as Loose & {
      distribution: Loose[];
      recordSet: (Loose & { field: Loose[] })[];
    };
    change(file);
    files.set(PATHS.croissant, utf8(JSON.stringify(file)));
  };
const withPoints = (file: Marks) => file.annotations.find((a) => a.keypoints !== undefined)!;
const firstPicture = (files: Files): string => [...files.keys()].find((path) => path.startsWith("images/"))!;

test("a set as it is written has no fault", async () => {
  const faults = await check(whole);
  expect(faults.list).toEqual([]);
  expect((JSON.parse(textOf(whole, TRAIN)) as CocoFile).annotations.length).toBeGreaterThan(5);
});

/** Each fault is planted alone; hashes are made right again unless the fault is one of hashes. */
type Plant = (files: Files) => void | Promise<void>;
const PLANTED: readonly (readonly [name: string, code: FaultCode, plant: Plant, sealing?: "unsealed"])[] = [
  ["an outline of four numbers", "coco-form", marks((f) => (f.annotations[0]!.segmentation[0] = [1, 1, 9, 9]))],
  ["an outline of an odd number", "coco-form", marks((f) => f.annotations[0]!.segmentation[0]!.push(5))],
  ["a case without its end", "coco-form", marks((f) => delete f.images[0]!["end"])],
  ["a scale method without a scale", "coco-form", marks((f) => (f.images[0]!["um_per_px"] = null))],
  ["an absolute picture path", "coco-form", marks((f) => (f.images[0]!["file_name"] = "/etc/passwd"))],
  ["a box outside the picture", "outside-picture", marks((f) => (f.annotations[0]!.bbox[0] = -40))],
  ["an outline outside the picture", "outside-picture", marks((f) => (f.annotations[0]!.segmentation[0]![0] = 1e5))],
  ["a box beside its outline", "box-differs", marks((f) => (f.annotations[0]!.bbox[2]! -= 3))],
  ["an area that is not its outline's", "area-differs", marks((f) => (f.annotations[0]!.area *= 1.02))],
  ["a point too few", "keypoints", marks((f) => withPoints(f).keypoints!.splice(0, 3))],
  ["points miscounted", "keypoints", marks((f) => (withPoints(f)["num_keypoints"] = 9))],
  ["an unknown category", "unknown-category", marks((f) => (f.annotations[0]!["category_id"] = 99))],
  ["an unknown image", "unknown-image", marks((f) => (f.annotations[0]!["image_id"] = 9999))],
  ["an unknown licence", "unknown-licence", marks((f) => (f.images[0]!["license"] = 7))],
  ["one identifier for two marks", "duplicate-id", marks((f) => (f.annotations[1]!["id"] = f.annotations[0]!["id"]))],
  ["a category that changed its meaning", "category-changed", marks((f) => (f.categories[4]!["name"] = "cup"))],
  [
    "a break in two parts",
    "wrong-part",
    (files) => {
      let moved: Loose[] = [];
      marks((f) => (moved = f.images.splice(0, 1)))(files);
      marks((f) => {
        f.annotations = f.annotations.filter((a) => a["image_id"] !== moved[0]!["id"]);
      })(files);
      marks((f) => f.images.push(...moved), "annotations/instances_test.json")(files);
    },
  ],
  [
    "an end without a picture",
    "end-missing",
    marks((f) => {
      const gone = new Set(f.images.filter((i) => i["end"] === "B").map((i) => i["id"]));
      f.images = f.images.filter((i) => !gone.has(i["id"]));
      f.annotations = f.annotations.filter((a) => !gone.has(a["image_id"]));
    }),
  ],
  ["a photograph of no break", "unknown-case", text(PATHS.photos, /\r\n1,demo-D-001,/, "\r\n1,demo-D-009,")],
  ["a review of no break", "unknown-case", text(PATHS.reviews, "r1,demo-D-001,", "r1,demo-D-009,")],
  [
    "a picture size that is wrong",
    "picture-size",
    (files) => {
      marks((f) => (f.images[0]!["width"] = Number(f.images[0]!["width"]) + 1))(files);
      const [head, first, ...rest] = textOf(files, PATHS.photos).split("\r\n");
      const at = head!.split(",").indexOf("width");
      const cells = first!.split(",");
      cells[at] = String(Number(cells[at]) + 1);
      files.set(PATHS.photos, utf8([head, cells.join(","), ...rest].join("\r\n")));
    },
  ],
  ["marks and table that say different things", "tables-differ", text(PATHS.marks, ",wire_outline,", ",neck,")],
  ["a label whose review says otherwise", "unconfirmed", text(PATHS.reviews, ",tensile_overload,", ",torsion,")],
  ["a label that was reopened", "unconfirmed", text(PATHS.reviews, ",confirmed,tensile_overload", ",reopened,")],
  ["a group in two parts", "group-torn", text(PATHS.cases, "break:demo-D-002", "break:demo-D-001")],
  [
    "one photograph in two parts",
    "photograph-in-two-parts",
    (files) => {
      const rows = textOf(files, PATHS.photos).split("\r\n");
      const at = rows[0]!.split(",").indexOf("original_sha256");
      const hash = rows[1]!.split(",")[at]!;
      const last = rows.length - 2;
      const cells = rows[last]!.split(",");
      cells[at] = hash;
      rows[last] = cells.join(",");
      files.set(PATHS.photos, utf8(rows.join("\r\n")));
    },
  ],
  ["a formula in a cell", "formula-cell", text(PATHS.cases, ",D-001,", ",=1+1,")],
  ["a table without a column", "not-a-table", text(PATHS.cases, "break_type", "type")],
  ["a cell in quotes without an end", "not-a-table", text(PATHS.reviews, /invented/, '"invented')],
  ["changed picture bytes", "wrong-hash", (f) => void f.get(firstPicture(f))!.set([7], 5000), "unsealed"],
  ["a wrong hash in the manifest", "wrong-hash", text(PATHS.manifest, /^[0-9a-f]{8}/, "00000000"), "unsealed"],
  ["a file that is not listed", "file-unlisted", (f) => void f.set("extra.txt", utf8("x")), "unsealed"],
  ["a file that is gone", "file-missing", (f) => void f.delete(PATHS.marks), "unsealed"],
  ["a picture that is gone", "picture-missing", (f) => void f.delete(firstPicture(f))],
  ["a path out of the set", "bad-path", (f) => void f.set("images/../../x.txt", utf8("x"))],
  ["an absolute path", "bad-path", (f) => void f.set("/tmp/x.txt", utf8("x"))],
  ["two paths that differ by the size of letters", "path-twice", (f) => void f.set("Readme.md", utf8("x"))],
  ["a picture that is none", "picture-unreadable", (f) => void f.set(firstPicture(f), utf8("<svg/>"))],
  [
    "a picture that asks to be turned",
    "picture-turned",
    async (f) => {
      const turned = await sharp(f.get(firstPicture(f)))
        .withMetadata({ orientation: 6 })
        .toBuffer();
      f.set(firstPicture(f), Uint8Array.from(turned));
    },
  ],
  [
    "a picture that says where it was taken",
    "picture-position",
    async (f) => {
      const placed = await sharp(f.get(firstPicture(f)))
        .withExif({ IFD3: { GPSLatitudeRef: "N", GPSLatitude: "51/1 30/1 0/1" } })
        .toBuffer();
      f.set(firstPicture(f), Uint8Array.from(placed));
    },
  ],
  ["marks that are no JSON", "not-json", (f) => void f.set(TRAIN, utf8("{"))],
  ["a description without a licence", "croissant-form", croissant((c) => delete c["license"])],
  ["an empty record set", "croissant-form", croissant((c) => (c.recordSet[3]!.field = []))],
  ["a field without a type", "croissant-shape", croissant((c) => delete c.recordSet[2]!.field[1]!["dataType"])],
  ["a set with two names", "croissant-shape", croissant((c) => (c["name"] = ["one", "two"]))],
  [
    "a reference that leads nowhere",
    "dangling-reference",
    croissant((c) => (c.recordSet[2]!["key"] = { "@id": "cases/number_2" })),
  ],
  [
    "a context that would be fetched",
    "remote-context",
    croissant((c) => (c["@context"] = "https://schema.org/docs/jsonldcontext.jsonld")),
  ],
  ["a record that is gone", "records", text(PATHS.records, "demo-D-002.json", "demo-D-022.json")],
];

describe(`planted faults: ${PLANTED.length}, all caught by name`, () => {
  test.each(PLANTED.map(([name, code, plant, sealing]) => ({ name, code, plant, sealing })))("$name", async (fault) => {
    const { code, plant, sealing } = fault;
    const files: Files = new Map([...whole].map(([path, bytes]) => [path, bytes.slice()]));
    await plant(files);
    const faults = await check(sealing === "unsealed" ? files : resealed(files));
    expect(faults.list.map((fault) => fault.code)).toContain(code);
    expect(faults.list.every((fault) => fault.says.length > 10 && fault.where !== "")).toBe(true);
  });

  test("two files of one path, and something that is no set at all", async () => {
    expect((await check(whole, ["README.md"])).list[0]?.code).toBe("path-twice");
    expect((await check(new Map([["a.txt", utf8("x")]]))).list.map((f) => f.code)).toEqual(["not-a-set"]);
  });

  test("many faults of one kind are counted, the first of them told", async () => {
    const files: Files = new Map([...whole].map(([path, bytes]) => [path, bytes.slice()]));
    marks((f) => f.annotations.forEach((a) => (a.area *= 2)))(files);
    const faults = await check(resealed(files));
    const n = (JSON.parse(textOf(whole, TRAIN)) as CocoFile).annotations.length;
    expect(faults.count).toBe(n);
    expect(faults.list).toHaveLength(Math.min(n, 20));
  });
});
