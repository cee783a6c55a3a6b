import { spawnSync } from "node:child_process";
import { mkdtempSync, openAsBlob, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { BlobWriter, Uint8ArrayReader, ZipWriter } from "@zip.js/zip.js/index-native.js";
import { beforeAll, expect, test } from "vitest";
import { benchFromSet } from "../../scripts/reference-set/bench-from-set.ts";
import { NoZip } from "../../scripts/reference-set/open-set.ts";
import { labSet, type LabSet } from "../../scripts/train/lab-set.ts";
import { demoMill, type Files, madeSet } from "./made-set.ts";

const at = mkdtempSync(join(tmpdir(), "endpair-lab-"));
const file = (name: string) => join(at, name);

async function write(name: string, files: Files): Promise<void> {
  const zip = new ZipWriter(new BlobWriter("application/zip"), { useWebWorkers: false, level: 0 });
  for (const [path, bytes] of files) await zip.add(path, new Uint8ArrayReader(bytes));
  writeFileSync(file(name), new Uint8Array(await (await zip.close()).arrayBuffer()));
}

const numbers = ({ breaks }: LabSet) => breaks.map(({ number }) => number).sort();

let made: Files;
beforeAll(async () => {
  // One for each part: learning, choosing, judging.
  made = (await madeSet((await demoMill()).slice(0, 3))).files;
  await write("set.zip", made);
  const bench = await benchFromSet(await openAsBlob(file("set.zip")), "2026-03-10T08:00:00Z");
  writeFileSync(file("bench.zip"), new Uint8Array(await bench.arrayBuffer()));
}, 120_000);

test("learning never takes a break of the test part, judging takes no other; a bench file has no parts", async () => {
  const [learning, judging, bench] = await Promise.all([
    labSet(file("set.zip"), "learning"),
    labSet(file("set.zip"), "judging"),
    labSet(file("bench.zip"), "learning"),
  ]);
  expect(numbers(learning)).toEqual(["D-001", "D-002"]);
  expect(numbers(judging)).toEqual(["D-003"]);
  expect(numbers(bench)).toEqual(["D-001", "D-002", "D-003"]);
  expect([learning.otherPart, judging.otherPart, bench.otherPart]).toEqual([1, 2, 0]);
  expect([...learning.faults, ...judging.faults, ...bench.faults]).toEqual([]);
  // The numbers of a break are the same from both kinds of file.
  for (const one of [...learning.breaks, ...judging.breaks])
    expect(one.vector).toEqual(bench.breaks.find(({ id }) => id === one.id)!.vector);
}, 120_000);

test("a set whose bytes were changed, and one without records, are refused in words", async () => {
  const path = [...made.keys()].find((name) => /\.jpe?g$/.test(name))!;
  const changed = Uint8Array.from(made.get(path)!);
  changed[changed.length >> 1]! ^= 255;
  await write("changed.zip", new Map(made).set(path, changed));
  await expect(labSet(file("changed.zip"), "learning")).rejects.toMatchObject({ code: "hash-mismatch" });
  await write("bare.zip", (await madeSet((await demoMill()).slice(0, 1), { withRecords: false })).files);
  await expect(labSet(file("bare.zip"), "learning")).rejects.toMatchObject({ code: "not-a-bench-file" });
  writeFileSync(file("none.zip"), "no zip");
  await expect(labSet(file("none.zip"), "learning")).rejects.toBeInstanceOf(NoZip);
}, 120_000);

test("the command says what it left out of a set and why it cannot learn yet", () => {
  const root = fileURLToPath(new URL("../../", import.meta.url));
  const words = ["--import", "tsx", "scripts/train.ts", file("set.zip"), "--out", file("model.onnx")];
  const ran = spawnSync(process.execPath, words, { cwd: root, encoding: "utf8" });
  expect(ran.status).toBe(2);
  expect(ran.stderr).toMatch(/1 breaks lie in the test part[\s\S]*6 confirmed breaks/);
}, 120_000);
