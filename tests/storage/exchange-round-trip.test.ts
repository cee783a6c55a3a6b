import { afterEach, describe, expect, test } from "vitest";
import { loadDemoMill } from "../../web/log/demo.ts";
import { App } from "../../web/shell/app.svelte.ts";
import { MANIFEST_PATH } from "../../web/storage/bench-file-format.ts";
import type { BenchStore } from "../../web/storage/contract.ts";
import { benchFileSource } from "../../web/storage/exchange-bench-file.ts";
import { setSource } from "../../web/storage/exchange-set.ts";
import { listFiles, readFile } from "../../web/storage/zip-reading.ts";
import { benchFileOf, confirmed, edited, minute, setOf, takenIn } from "./exchange-benches.ts";
import { open } from "./workbench.ts";

let base: HTMLBaseElement | null = null;
afterEach(() => {
  base?.remove();
  base = null;
});

/** Some breaks of the demo mill, as the application itself loads them, each confirmed. */
async function demoBench(most: number): Promise<BenchStore> {
  const store = await open();
  let ids = 0;
  const app = new App({ now: () => minute(0), newId: () => `demo-${++ids}` });
  await app.attach(store);
  base = document.createElement("base");
  base.href = `${location.origin}/`;
  document.head.append(base);
  const stop = new AbortController();
  const work = {
    signal: stop.signal,
    onProgress: ({ done }: { readonly done: number }) => (done >= most ? stop.abort() : undefined),
  };
  await loadDemoMill(app, work).catch((failure: unknown) => {
    if (!stop.signal.aborted) throw failure;
  });
  const kept = await store.summaries();
  expect(kept).toHaveLength(most);
  for (const { id } of kept)
    await edited(store, id, confirmed(`c-${id}`, "central_burst", "AB", minute(5)), "AB", minute(5));
  return store;
}

const plan = { belongs: () => true, isPicture: () => true };
async function textIn(zip: Blob, path: string): Promise<string> {
  const files = await listFiles(zip, undefined, plan);
  return new TextDecoder().decode(await readFile(files.get(path)!, undefined, true));
}
/** Hash of every photograph and original in a set, by path. */
async function picturesIn(zip: Blob): Promise<readonly string[]> {
  return (await textIn(zip, "manifest-sha256.txt")).split("\n").filter((line) => /(images|originals)\//.test(line));
}

describe("out, in and out again", () => {
  test("a bench file: the same breaks, logs and photographs, byte for byte", async () => {
    const first = await benchFileOf(await demoBench(3));
    const empty = await open();
    const taken = await takenIn(empty, await benchFileSource(first, "bench.zip", {}), minute(20));
    expect(taken.map(({ fate, lacking }) => [fate, lacking])).toEqual([
      ["added", []],
      ["added", []],
      ["added", []],
    ]);
    const second = await benchFileOf(empty);
    const entries = async (zip: Blob) =>
      (JSON.parse(await textIn(zip, MANIFEST_PATH)) as { entries: unknown[] }).entries;
    expect(await entries(second)).toEqual(await entries(first));
    expect((await entries(first)).length).toBeGreaterThan(8);
  }, 120_000);

  test("a set: the same records but for what they came with, and byte-identical originals", async () => {
    const first = await setOf(await demoBench(2));
    const empty = await open();
    const taken = await takenIn(empty, await setSource(first, "set.zip", {}), minute(20));
    expect(taken.map(({ fate, lacking }) => [fate, lacking])).toEqual([
      ["added", []],
      ["added", []],
    ]);
    const second = await setOf(empty, { peopleSeed: "another" });
    expect(await picturesIn(second)).toEqual(await picturesIn(first));
    expect((await picturesIn(first)).length).toBeGreaterThan(5);
    const files = await listFiles(first, undefined, plan);
    const records = [...files.keys()].filter((path) => path.startsWith("records/breaks/"));
    expect(records).toHaveLength(2);
    type Kept = {
      record: { cameWith?: unknown; revision: number; updatedAt: string };
      log: { edit: { kind: string } }[];
    };
    for (const path of records) {
      const [a, b] = [JSON.parse(await textIn(first, path)) as Kept, JSON.parse(await textIn(second, path)) as Kept];
      expect(b.log.at(-1)!.edit.kind).toBe("set-came-with");
      const own = { revision: 0, updatedAt: "", cameWith: undefined };
      expect({ ...b.record, ...own }).toEqual({ ...a.record, ...own });
      expect(b.record.cameWith).toMatchObject([{ name: "lab-breaks", version: "1.0.0" }]);
      expect(b.log.slice(0, -1)).toEqual(a.log);
    }
  }, 120_000);
});
