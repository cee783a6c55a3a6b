import { describe, expect, it } from "vitest";
import { HASH_LIST_PATH, MANIFEST_PATH } from "../../web/storage/bench-file-format.ts";
import { sha256Hex } from "../../web/storage/canonical.ts";
import type { BenchStore } from "../../web/storage/contract.ts";
import type { Files } from "./forge.ts";
import { pack, pathIn, renamed, saved, seal, text, unpack, utf8 } from "./forge.ts";
import { addMark, jpegBytes, open, rejection, storeBreakWithPhotograph, working } from "./workbench.ts";

const BREAK = "breaks/b1.json";

/** The files of a bench with one break, ready to be tampered with. */
async function honest(): Promise<Files> {
  const source = await open();
  await storeBreakWithPhotograph(source, "b1", 21);
  return unpack(await saved(source));
}

async function everythingOf(store: BenchStore) {
  const list = await store.summaries();
  return { list, breaks: await Promise.all(list.map(({ id }) => store.load(id))) };
}

/** The file is refused with this code, and a bench that was handed it is as it was. */
async function refuses(file: Blob, code: string): Promise<string> {
  const store = await open();
  await store.commit(working("mine").edit(addMark("m1")).commit());
  const before = await everythingOf(store);
  const failure = await rejection(store.importBench(file, "B. Importer", "2026-03-03T09:00:00Z"));
  expect(failure).toMatchObject({ name: "BenchFileError", code });
  expect((failure as { next: string }).next.length).toBeGreaterThan(20);
  expect(await everythingOf(store)).toEqual(before);
  expect(await store.lackingCopies()).toEqual([]);
  expect(await store.getSetting("import-under-way")).toBeUndefined();
  return (failure as Error).message;
}

/** Changes the JSON of one file. */
function change(files: Files, path: string, alter: (content: Record<string, unknown>) => unknown): Files {
  const content = JSON.parse(text(files, path)) as Record<string, unknown>;
  return files.set(path, utf8(alter(content) ?? content));
}

/** Puts the hash of the manifest as it is now into the list of hashes. */
async function listManifestAgain(files: Files): Promise<void> {
  const hash = await sha256Hex(files.get(MANIFEST_PATH) ?? new Uint8Array());
  files.set(HASH_LIST_PATH, utf8(text(files, HASH_LIST_PATH).replace(/\S+(?= {2}manifest\.json)/, hash)));
}

const set = (target: unknown, key: string, value: unknown): void => {
  (target as Record<string, unknown>)[key] = value;
};

describe("a file that is no bench file is refused and changes nothing:", () => {
  it("no zip at all", async () => {
    await refuses(new Blob(["no zip"]), "not-a-bench-file");
    await refuses(new Blob([]), "not-a-bench-file");
  });
  it("a zip of something else", async () => {
    await refuses(await pack(new Map([[BREAK, utf8("{}")]])), "not-a-bench-file");
    await refuses(await pack(new Map([[MANIFEST_PATH, utf8({ format: "other", version: 1 })]])), "not-a-bench-file");
  });
  it("a bench file cut short", async () => {
    const whole = await pack(await honest());
    await refuses(whole.slice(0, whole.size - 30), "not-a-bench-file");
    await refuses(whole.slice(0, whole.size / 2), "not-a-bench-file");
  });
});

describe("names that lead out of the file are refused and change nothing:", () => {
  const STAND_IN = "breaks/xxxxxxxxxxxx.json";
  it.each([
    "../../../../out/of.json",
    "/etc/absolute/name.json",
    "C:/users/someone/a.json",
    "breaks\\..\\..\\abcd.json",
  ])("%s", async (name) => {
    const files = (await honest()).set(STAND_IN, utf8("{}"));
    await refuses(await renamed(await pack(await seal(files), 0), STAND_IN, name.padEnd(24, "x")), "path-escape");
  });
});

describe("a file with other contents than it should have is refused and changes nothing:", () => {
  it("one file more than the manifest names", async () => {
    await refuses(await pack((await honest()).set("breaks/more.json", utf8("{}"))), "unexpected-entry");
  });
  it("a file of an unknown kind", async () => {
    await refuses(await pack(await seal((await honest()).set("notes.txt", utf8("hello")))), "unexpected-entry");
  });
  it("the same name twice", async () => {
    const files = (await honest()).set("breaks/b2.json", utf8("{}"));
    await refuses(await renamed(await pack(files, 0), "breaks/b2.json", "breaks/b1.json"), "unexpected-entry");
  });
  it("a break or a photograph missing", async () => {
    for (const folder of ["breaks/", "originals/"]) {
      const files = await honest();
      files.delete(pathIn(files, folder));
      await refuses(await pack(files), "missing-entry");
    }
  });
  it("a photograph missing that a break names, with a manifest that fits", async () => {
    const files = await honest();
    files.delete(pathIn(files, "originals/"));
    await refuses(await pack(await seal(files)), "missing-entry");
  });
  it("the list of hashes missing", async () => {
    const files = await honest();
    files.delete(HASH_LIST_PATH);
    await refuses(await pack(files), "missing-entry");
  });
  it("a photograph that no break names", async () => {
    const bytes = jpegBytes(300, 77);
    const files = (await honest()).set(`originals/${await sha256Hex(bytes)}.jpg`, bytes);
    await refuses(await pack(await seal(files)), "unexpected-entry");
  });
  it("something that is no photograph", async () => {
    const files = await honest();
    files.set(pathIn(files, "originals/"), utf8("MZ this is a program"));
    await refuses(await pack(await seal(files)), "unexpected-entry");
  });
  it("data after its end", async () => {
    await refuses(new Blob([await pack(await honest()), "tail"]), "unexpected-entry");
  });
});

describe("changed bytes are noticed and change nothing:", () => {
  it("in a photograph", async () => {
    const files = await honest();
    files.set(pathIn(files, "originals/"), jpegBytes(4_000, 22));
    await refuses(await pack(files), "hash-mismatch");
  });
  it("in a photograph, with a manifest that fits", async () => {
    const files = await honest();
    files.set(pathIn(files, "originals/"), jpegBytes(4_000, 22));
    await refuses(await pack(await seal(files)), "unexpected-entry");
  });
  it("in a break", async () => {
    const files = change(await honest(), BREAK, (content) => set(content["record"], "number", "B-b7"));
    await refuses(await pack(files), "hash-mismatch");
  });
  it("in the list of hashes", async () => {
    const files = await honest();
    files.set(HASH_LIST_PATH, utf8(text(files, HASH_LIST_PATH).replace(/^./, (c) => (c === "0" ? "1" : "0"))));
    await refuses(await pack(files), "hash-mismatch");
  });
  it("a single one in the packed bytes", async () => {
    const file = await pack(await honest(), 0);
    const bytes = new Uint8Array(await file.arrayBuffer());
    const at = bytes.length / 2;
    bytes[Math.floor(at)] = (bytes[Math.floor(at)] ?? 0) ^ 1;
    await refuses(new Blob([bytes]), "hash-mismatch");
  });
});

describe("versions that are not known are refused and change nothing:", () => {
  it("of the file", async () => {
    await refuses(await pack(change(await honest(), MANIFEST_PATH, (m) => set(m, "version", 3))), "unknown-version");
  });
  it("of a break file", async () => {
    await refuses(
      await pack(await seal(change(await honest(), BREAK, (b) => set(b, "version", 9)))),
      "unknown-version",
    );
  });
  it("of a record", async () => {
    const files = change(await honest(), BREAK, (b) => set(b["record"], "version", 9));
    await refuses(await pack(await seal(files)), "unknown-version");
  });
});

describe("a damaged break is refused and changes nothing:", () => {
  const cases: [string, (content: Record<string, unknown>) => void][] = [
    ["a record that is no record", (b) => set(b, "record", 3)],
    ["a field that is not known", (b) => set(b["record"], "extra", true)],
    ["a prototype in disguise", (b) => set(b, "record", JSON.parse('{"__proto__":{"version":1}}'))],
    ["a log that has a gap", (b) => set((b["log"] as unknown[])[1], "revision", 7)],
    ["a log line that takes back itself", (b) => set((b["log"] as unknown[])[1], "of", 2)],
    ["an edit of an unknown kind", (b) => set((b["log"] as unknown[])[1], "edit", { kind: "run", code: "alert(1)" })],
    ["an edit with a field too many", (b) => set((b["log"] as { edit: unknown }[])[1]?.edit, "then", "x")],
    [
      "a patch of a field that is not there",
      (b) => set((b["log"] as unknown[])[1], "inverse", { kind: "set-context", patch: { constructor: 1 } }),
    ],
    [
      "a mark far outside any photograph",
      (b) =>
        set((b["log"] as unknown[])[1], "inverse", {
          kind: "set-mark",
          markId: "b1-m",
          patch: { geometry: { type: "point", points: [[1e300, 0]] } },
        }),
    ],
  ];
  it.each(cases)("%s", async (_name, alter) => {
    await refuses(await pack(await seal(change(await honest(), BREAK, (content) => alter(content)))), "damaged-record");
  });
  it("text that is no JSON, and JSON nested without end", async () => {
    await refuses(await pack(await seal((await honest()).set(BREAK, utf8("{")))), "damaged-record");
    const deep = `${"[".repeat(100_000)}${"]".repeat(100_000)}`;
    await refuses(await pack(await seal((await honest()).set(BREAK, utf8(deep))), 0), "damaged-record");
    const together = '{"kind":"together","edits":['.repeat(20_000) + "]}".repeat(20_000);
    const files = await honest();
    const frame = text(files, BREAK).replace('"inverse":{', `"inverse":${together},"was":{`);
    await refuses(await pack(await seal(files.set(BREAK, utf8(frame))), 0), "damaged-record");
  });
  it("under the name of another", async () => {
    const files = await honest();
    files.set("breaks/b2.json", files.get(BREAK) ?? new Uint8Array());
    files.delete(BREAK);
    await refuses(await pack(await seal(files)), "unexpected-entry");
  });
  it("with counts that contradict the files", async () => {
    const files = change(await honest(), MANIFEST_PATH, (m) => set(m["counts"], "breaks", 4));
    await listManifestAgain(files);
    await refuses(await pack(files), "damaged-record");
  });
});

describe("a program in the place of a photograph is refused and changes nothing:", () => {
  const SVG = `<svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script></svg>`;
  it("an SVG by its name", async () => {
    const bytes = utf8(SVG);
    const files = (await honest()).set(`originals/${await sha256Hex(bytes)}.svg`, bytes);
    await refuses(await pack(await seal(files)), "script-in-file");
  });
  it.each([
    ["an SVG that calls itself a JPEG", `\uFEFF  ${SVG}`],
    ["a page that calls itself a JPEG", "<!doctype html><script>alert(1)</script>"],
  ])("%s", async (_name, markup) => {
    const bytes = utf8(markup);
    const files = await honest();
    const hash = await sha256Hex(bytes);
    const old = pathIn(files, "originals/");
    files.delete(old);
    files.set(`originals/${hash}.jpg`, bytes);
    const oldHash = /[0-9a-f]{64}/.exec(old)?.[0] ?? "";
    files.set(BREAK, utf8(text(files, BREAK).replaceAll(oldHash, hash)));
    await refuses(await pack(await seal(files)), "script-in-file");
  });
});

describe("a file built to fill the disk is refused and changes nothing:", () => {
  it("a photograph of zeros", async () => {
    const zeros = new Uint8Array(20 * 1024 * 1024);
    zeros.set([0xff, 0xd8, 0xff]);
    const files = (await honest()).set(`originals/${await sha256Hex(zeros)}.jpg`, zeros);
    await refuses(await pack(await seal(files), 9), "bomb");
  });
  it("a file that is larger than the list at the end and the manifest say", async () => {
    const zeros = new Uint8Array(900 * 1024);
    const files = await seal((await honest()).set("breaks/b2.json", zeros));
    const announced = 4_096;
    change(files, MANIFEST_PATH, (manifest) => {
      for (const entry of manifest["entries"] as { path: string; bytes: number }[])
        if (entry.path === "breaks/b2.json") entry.bytes = announced;
    });
    await listManifestAgain(files);
    const bytes = new Uint8Array(await (await pack(files, 9)).arrayBuffer());
    const real = new Uint8Array(new Uint32Array([zeros.length]).buffer);
    const lie = new Uint8Array(new Uint32Array([announced]).buffer);
    for (let at = 0; at + 4 <= bytes.length; at++)
      if (real.every((byte, i) => bytes[at + i] === byte)) bytes.set(lie, at);
    await refuses(new Blob([bytes]), "bomb");
  });
  it("many names for the same bytes", async () => {
    const files = await seal((await honest()).set("breaks/b2.json", utf8("{}")));
    const bytes = new Uint8Array(await (await pack(files, 0)).arrayBuffer());
    expect(await refuses(new Blob([pointedAtTheFirst(bytes)]), "unexpected-entry")).toContain("two ways");
  });
  it("a break larger than any", async () => {
    const noise = new Uint8Array(65 * 1024 * 1024);
    for (let at = 0; at < noise.length; at += 65_536) crypto.getRandomValues(noise.subarray(at, at + 65_536));
    await refuses(await pack((await honest()).set("breaks/large.json", noise), 0), "too-large");
  });
});

/** Lets every line of the list at the end point at the first file. */
function pointedAtTheFirst(bytes: Uint8Array<ArrayBuffer>): Uint8Array<ArrayBuffer> {
  const view = new DataView(bytes.buffer);
  for (let at = 0; at + 46 <= bytes.length; at++)
    if (view.getUint32(at, true) === 0x02014b50) view.setUint32(at + 42, 0, true);
  return bytes;
}
