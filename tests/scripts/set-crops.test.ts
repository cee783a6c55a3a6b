import sharp from "sharp";
import { beforeAll, expect, test } from "vitest";
import { checkSet } from "../../model/reference/check/check-set.ts";
import type { FaultCode } from "../../model/reference/check/fault.ts";
import { readCsv } from "../../model/reference/export/csv.ts";
import { PATHS } from "../../model/reference/export/set-names.ts";
import type { SetReport } from "../../model/reference/export/write-set.ts";
import { checkTools } from "../../scripts/reference-set/check-tools.ts";
import { cropNode } from "../../scripts/reference-set/crop-node.ts";
import { cropPicture } from "../crop-picture.ts";
import { demoMill, type Files, madeSet, resealed, textOf, utf8 } from "./made-set.ts";

const tools = checkTools();
const check = (files: Files) =>
  checkSet({ paths: [...files.keys()], twice: [], read: (path) => Promise.resolve(files.get(path)!) }, tools);

let files: Files;
let report: SetReport;
const rows = (): readonly Record<string, string>[] => {
  const { head, lines } = readCsv(textOf(files, PATHS.crops));
  return lines.map((line) => Object.fromEntries(head.map((column, i) => [column, line[i]!])));
};
beforeAll(async () => {
  ({ files, report } = await madeSet((await demoMill()).slice(2, 5), {
    crops: { pxPerDiameter: 64 },
    withRecords: false,
  }));
}, 120_000);

test("a set with crops has no fault; each photograph has a crop or is counted", async () => {
  expect((await check(files)).list).toEqual([]);
  const all = rows();
  expect(all.length).toBeGreaterThan(6);
  const photographs = readCsv(textOf(files, PATHS.photos)).lines.length;
  const without = report.crops!.leftOut.reduce((sum, one) => sum + one.photographs, 0);
  expect([report.crops!.written, report.crops!.written + without]).toEqual([all.length, photographs]);
  // Two breaks of these have a section each: neither end-on nor from the side.
  expect(report.crops!.leftOut).toContainEqual({ why: "other-view", photographs: 2 });
  for (const row of all) {
    const { width, height, hasAlpha } = await sharp(files.get(`crops/${row["file_name"]}`)).metadata();
    expect([width, height, hasAlpha]).toEqual(row["view"] === "end_on" ? [80, 80, false] : [160, 80, false]);
    // The demo wires' diameter is known: 64 px of a crop are one of them, within what the outline was drawn.
    const micrometres = readCsv(textOf(files, PATHS.cases)).lines.find((line) => line[0] === row["case_id"])![3];
    if (row["um_per_px"] !== "") expect((64 * Number(row["um_per_px"])) / Number(micrometres)).toBeCloseTo(1, 1);
  }
  const sheet = textOf(files, PATHS.readme);
  expect(sheet).toContain(`${all.length} crops, each at 64 px to one wire diameter`);
  expect(sheet).toContain("2: neither end-on nor a side view");
  expect(textOf(files, PATHS.manifest)).toContain(`  crops/${all[0]!["file_name"]}\n`);
}, 120_000);

test("without the option nothing of crops is written", async () => {
  const plain = await madeSet((await demoMill()).slice(2, 3), { withRecords: false });
  expect([...plain.files.keys()].filter((path) => path.includes("crop"))).toEqual([]);
  expect(textOf(plain.files, PATHS.croissant)).not.toContain("crop");
  expect(plain.report.crops).toBeNull();
}, 120_000);

type Plant = (files: Files) => void | Promise<void>;
const firstCrop = (set: Files): string => [...set.keys()].find((path) => path.startsWith("crops/train/"))!;
/** Changes one cell of the first line. */
const cell =
  (column: string, to: (before: string) => string): Plant =>
  (set) => {
    const [head, first, ...rest] = textOf(set, PATHS.crops).split("\r\n");
    const cells = first!.split(",");
    const at = head!.split(",").indexOf(column);
    cells[at] = to(cells[at]!);
    set.set(PATHS.crops, utf8([head, cells.join(","), ...rest].join("\r\n")));
  };
const PLANTED: readonly (readonly [name: string, code: FaultCode, plant: Plant])[] = [
  ["a crop that is not there", "picture-missing", (set) => void set.delete(firstCrop(set))],
  [
    "a crop of another size",
    "picture-size",
    async (set) => {
      const small = await sharp(set.get(firstCrop(set)))
        .resize(70, 80, { fit: "fill" })
        .png()
        .toBuffer();
      set.set(firstCrop(set), Uint8Array.from(small));
    },
  ],
  ["a crop that is no picture", "picture-unreadable", (set) => void set.set(firstCrop(set), utf8("no picture"))],
  ["a crop said to be in another part", "wrong-part", cell("split", () => "test")],
  [
    "a crop in the folder of another part",
    "wrong-part",
    (set) => {
      const path = firstCrop(set);
      set.set(path.replace("/train/", "/test/"), set.get(path)!);
      set.delete(path);
      return cell("file_name", (name) => name.replace("train/", "test/"))(set);
    },
  ],
  [
    "a crop the table does not name",
    "tables-differ",
    (set) => void set.set("crops/test/x.png", set.get(firstCrop(set))!),
  ],
  ["crops without their table", "file-missing", (set) => void set.delete(PATHS.crops)],
  ["a crop at another scale", "crop-scale", cell("px_per_diameter", () => "65")],
  ["lengths that do not give the scale", "crop-scale", cell("width_px", (px) => String(Number(px) * 1.01))],
  ["a wrong length on the wire", "crop-scale", cell("um_per_px", (um) => String(Number(um) * 1.01))],
  ["a crop of no photograph", "unknown-image", cell("photo_id", () => "9999")],
  ["a crop of another break's photograph", "tables-differ", cell("photo_id", () => "12")],
  ["a crop of no break", "unknown-case", cell("case_id", () => "demo-D-099")],
  ["a crop of another type than its break", "tables-differ", cell("break_type", () => "undetermined")],
];
test.each(PLANTED)(
  "the check finds %s",
  async (_, code, plant) => {
    const copy: Files = new Map(files);
    await plant(copy);
    expect((await check(resealed(copy))).list.map((fault) => fault.code)).toContain(code);
  },
  60_000,
);

test("crops are made from the upright picture, sample for sample", async () => {
  const { photograph, stored, widthPx, heightPx, frame, expected } = cropPicture();
  const made = sharp(stored, { raw: { width: widthPx, height: heightPx, channels: 4 } });
  const png = Uint8Array.from(await made.removeAlpha().png().toBuffer());
  const crop = await cropNode(png, photograph, frame);
  expect([...(await sharp(crop!).ensureAlpha().raw().toBuffer())]).toEqual([...expected]);
  expect(await cropNode(png.slice(0, 60), photograph, frame)).toBeNull();
});
