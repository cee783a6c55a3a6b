import { spawn, spawnSync } from "node:child_process";
import { existsSync, mkdirSync, mkdtempSync, openAsBlob, readFileSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { beforeAll, describe, expect, test } from "vitest";
import type { CocoFile } from "../../model/reference/export/coco.ts";
import { readCsv } from "../../model/reference/export/csv.ts";
import { PATHS } from "../../model/reference/export/set-names.ts";
import { benchFromSet } from "../../scripts/reference-set/bench-from-set.ts";
import { type OpenZip, openZip } from "../../scripts/reference-set/open-set.ts";
import { writeBench } from "../../scripts/reference-set/write-bench.ts";
import { breakFile } from "../../web/storage/bench-file-format.ts";
import { checkBenchFile } from "../../web/storage/check-bench-file.ts";
import { demoMill, sha256 } from "./made-set.ts";

const root = fileURLToPath(new URL("../../", import.meta.url));
const at = mkdtempSync(join(tmpdir(), "endpair-set-"));
const file = (name: string) => join(at, name);

interface Ran {
  readonly code: number | null;
  readonly out: string;
  readonly err: string;
}
function run(script: string, ...words: string[]): Promise<Ran> {
  return new Promise((done) => {
    const child = spawn(process.execPath, ["--import", "tsx", `scripts/${script}.ts`, ...words], { cwd: root });
    let [out, err] = ["", ""];
    child.stdout.on("data", (chunk) => (out += String(chunk)));
    child.stderr.on("data", (chunk) => (err += String(chunk)));
    child.on("close", (code) => done({ code, out, err }));
  });
}
const plain = ["--seed", "s", "--date", "2026-03-31", "--creator", "Hollowmoor Wire (invented)"];

/** Python is another program of this machine; without it the comparison with it is left out. */
const python = spawnSync("/usr/bin/python3", ["-c", "import cv2, numpy"]).status === 0;

let first: OpenZip;
beforeAll(async () => {
  // Three breaks of the demo mill as a bench file: the whole mill is exported once by hand.
  const some = (await demoMill()).slice(0, 3);
  const originals = new Map(some.flatMap((one) => [...one.originals]));
  const bench = await writeBench(
    some.map(({ record, log, suggested }) => breakFile(record, log, suggested)),
    (hash) => Promise.resolve(originals.get(hash) ?? null),
    "2026-03-10T08:00:00Z",
  );
  writeFileSync(file("bench.zip"), new Uint8Array(await bench.arrayBuffer()));
  const ran = await run("export-set", file("bench.zip"), "--out", file("one.zip"), ...plain);
  expect(ran.err).toBe("");
  expect(ran.code).toBe(0);
  first = await openZip(file("one.zip"));
}, 300_000);

describe("export and check by command", () => {
  test("the set passes the check, and a changed one does not", async () => {
    const good = await run("check-set", file("one.zip"));
    expect(JSON.parse(good.out)).toMatchObject({ faults: 0, list: [] });
    expect(good.code).toBe(0);
    writeFileSync(file("none.zip"), "no zip");
    const none = await run("check-set", file("none.zip"));
    expect([none.code, none.err]).toEqual([2, `${file("none.zip")}: it is no whole zip file.\n`]);
  }, 300_000);

  test("the same bench gives the same set, byte for byte; the next version keeps its parts and tells what changed", async () => {
    const again = await run(
      "export-set",
      file("bench.zip"),
      "--out",
      file("again.zip"),
      "--allow-look-alikes",
      ...plain,
    );
    expect(again.code).toBe(0);
    expect(sha256(readFileSync(file("again.zip")))).toBe(sha256(readFileSync(file("one.zip"))));
    const next = await run(
      "export-set",
      file("bench.zip"),
      "--out",
      file("two.zip"),
      "--previous",
      file("one.zip"),
      "--allow-look-alikes",
      ...plain,
    );
    expect(JSON.parse(next.out)).toMatchObject({ version: "1.0.0", difference: "Nothing changed" });
  }, 300_000);

  test("commands that make no sense are told so, and nothing is written", async () => {
    for (const [words, says] of [
      [["--out", file("x.zip")], "Name one bench file"],
      [["--demo", "--out", file("x.zip"), "--licence", "GPL"], "--licence is one of"],
      [["--demo", "--out", file("x.zip"), "--colour", "red"], "There is no option --colour."],
      [[file("none.zip"), "--out", file("x.zip")], "it is no whole zip file"],
    ] as const) {
      const { code, err } = await run("export-set", ...words);
      expect([code, err.includes(says)]).toEqual([2, true]);
    }
    expect(existsSync(file("x.zip"))).toBe(false);
    expect(existsSync(file("x.zip.part"))).toBe(false);
  }, 300_000);
});

test("round trip: set → bench → set gives the same records and byte-identical originals", async () => {
  const bench = await benchFromSet(await openAsBlob(file("one.zip")), "2026-04-01T00:00:00Z");
  const checked = await checkBenchFile(bench, {});
  const some = (await demoMill()).slice(0, 3);
  expect([...checked.originals.keys()].sort()).toEqual(some.flatMap((one) => [...one.originals.keys()]).sort());
  expect(checked.breaks).toHaveLength(some.length);
  writeFileSync(file("back.zip"), new Uint8Array(await bench.arrayBuffer()));
  const ran = await run(
    "export-set",
    file("back.zip"),
    "--out",
    file("three.zip"),
    "--allow-look-alikes",
    ...plain,
    "--seed",
    "another",
  );
  expect(ran.code).toBe(0);
  const second = await openZip(file("three.zip"));
  const records = [...first.entries.keys()].filter((path) => path.startsWith("records/breaks/"));
  expect(records).toHaveLength(some.length);
  for (const path of records) expect(await second.text(path)).toBe(await first.text(path));
  for (const { originals } of some)
    for (const [hash, bytes] of originals) {
      const index = JSON.parse(await second.text(PATHS.records)) as { originals: { hash: string; path: string }[] };
      const place = index.originals.find((o) => o.hash === hash)!.path;
      expect(sha256(await second.read(place))).toBe(sha256(bytes));
    }
  // People went out as codes, and as the same codes again, whatever the second seed.
  expect(await first.text(records[0]!)).not.toContain('demo mill"');
  expect(await first.text(records[0]!)).toMatch(/"by":"reader-[0-9a-z]{8}"/);
}, 300_000);

describe.skipIf(!python)("a COCO reader of ours in Python and NumPy (skipped without them)", () => {
  test("loads the set and sees the same numbers, areas, boxes and picture sizes", async () => {
    const folder = file("unpacked");
    for (const path of first.entries.keys()) {
      mkdirSync(dirname(join(folder, path)), { recursive: true });
      writeFileSync(join(folder, path), await first.read(path));
    }
    expect(spawnSync("sha256sum", ["-c", "--quiet", PATHS.manifest], { cwd: folder }).status).toBe(0);
    const ran = spawnSync("/usr/bin/python3", [join(root, "tests/outside/coco-reader.py"), folder], {
      encoding: "utf8",
    });
    expect(ran.stderr).toBe("");
    interface Seen {
      images: number;
      annotations: number;
      byCategory: Record<string, number>;
      pictures: Record<string, [number, number] | null>;
      marks: { id: number; pixels: number; box: number[]; perimeter: number }[];
    }
    const seen = JSON.parse(ran.stdout) as Record<string, Seen>;
    let marks = 0;
    let images = 0;
    for (const [name, theirs] of Object.entries(seen)) {
      const ours = JSON.parse(await first.text(`annotations/${name}`)) as CocoFile;
      expect([theirs.images, theirs.annotations]).toEqual([ours.images.length, ours.annotations.length]);
      for (const image of ours.images) expect(theirs.pictures[image.file_name]).toEqual([image.width, image.height]);
      for (const mark of ours.annotations) {
        const read = theirs.marks.find((m) => m.id === mark.id)!;
        mark.bbox.forEach((v, i) => expect(read.box[i]).toBeCloseTo(v, 1));
        // Pixels counted by their centres: off by at most half the outline's length.
        expect(Math.abs(read.pixels - mark.area)).toBeLessThanOrEqual(0.5 * read.perimeter + 1);
        if (mark.area > 10_000) expect(Math.abs(read.pixels / mark.area - 1)).toBeLessThan(0.005);
      }
      marks += theirs.annotations;
      images += theirs.images;
    }
    expect(images).toBe(readCsv(await first.text(PATHS.photos)).lines.length);
    expect(marks).toBeGreaterThan(20);
  }, 300_000);
});
