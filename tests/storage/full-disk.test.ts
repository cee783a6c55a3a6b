import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { saved } from "./forge.ts";
import type { BenchStore } from "../../web/storage/contract.ts";
import { addMark, freshName, jpegBytes, newOriginal, open, photograph, rejection, shut, working } from "./workbench.ts";

/** What of the browser's storage buckets these tests use: a share of the disk with a limit of its own. */
interface Buckets {
  open(name: string, options: { quota: number }): Promise<{ readonly indexedDB: IDBFactory }>;
  delete(name: string): Promise<void>;
}
const buckets = (navigator as unknown as { storageBuckets: Buckets }).storageBuckets;

const MEBIBYTE = 1024 * 1024;

/** Something else that fills the disk and can be thrown away. */
async function fill(bytes: number): Promise<() => Promise<void>> {
  const name = freshName();
  const db = await new Promise<IDBDatabase>((resolve, reject) => {
    const request = indexedDB.open(name);
    request.onupgradeneeded = () => request.result.createObjectStore("ballast");
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(new Error("the ballast could not be opened"));
  });
  await new Promise<void>((resolve, reject) => {
    const tx = db.transaction("ballast", "readwrite", { durability: "strict" });
    tx.objectStore("ballast").put(jpegBytes(bytes, 99), 1);
    tx.oncomplete = () => resolve();
    tx.onabort = () => reject(new Error("the ballast does not fit"));
  });
  db.close();
  return () =>
    new Promise((resolve, reject) => {
      const request = indexedDB.deleteDatabase(name);
      request.onsuccess = () => resolve();
      request.onerror = () => reject(new Error("the ballast could not be thrown away"));
    });
}

describe("a full disk", () => {
  const whole = Object.getOwnPropertyDescriptor(globalThis, "indexedDB");
  const bucket = "a-small-disk";
  const benches: BenchStore[] = [];

  beforeEach(async () => {
    const { indexedDB: small } = await buckets.open(bucket, { quota: 24 * MEBIBYTE });
    Object.defineProperty(globalThis, "indexedDB", { configurable: true, value: small });
  });
  afterEach(async () => {
    for (const one of benches.splice(0)) await shut(one);
    if (whole) Object.defineProperty(globalThis, "indexedDB", whole);
    await buckets.delete(bucket);
  });
  const openHere = async (name: string): Promise<BenchStore> => {
    const store = await open(name);
    benches.push(store);
    return store;
  };

  it("is told with a next step, takes nothing with it, and the same change can be saved once there is room", async () => {
    const makeRoom = await fill(14 * MEBIBYTE);
    const name = freshName();
    const store = await openHere(name);
    const work = working("b1").edit(addMark("m1"));
    await store.commit(work.commit());
    const before = await store.load("b1");

    const originals = await Promise.all(
      Array.from({ length: 12 }, (_, i) => newOriginal(jpegBytes(MEBIBYTE, i + 1), `${i}.jpg`)),
    );
    const commit = work.edit(addMark("m2")).commit(originals);
    const failure = await rejection(store.commit(commit));
    expect(failure).toMatchObject({ name: "StoreError", code: "disk-full" });
    expect((failure as { next?: unknown }).next).toContain("Save the bench file");
    expect(await store.load("b1")).toEqual(before);
    expect(await store.known(originals.map((original) => original.hash))).toEqual(new Set());

    await makeRoom();
    expect((await store.commit(commit))[0]?.revision).toBe(2);
    await shut(store);
    const again = await openHere(name);
    expect((await again.load("b1"))?.record).toEqual(work.record);
    expect((await again.known(originals.map((original) => original.hash))).size).toBe(12);
  });

  it("met while a bench file is taken over leaves whole breaks only, and the rest follows once there is room", async () => {
    const source = await openHere(freshName());
    for (const [i, length] of [1, 5].entries()) {
      const original = await newOriginal(jpegBytes(length * MEBIBYTE, i + 50), `${i}.jpg`);
      const work = working(`b${i}`).edit({
        kind: "add-photograph",
        side: "machine",
        index: 0,
        photograph: photograph("p", original),
      });
      await source.commit(work.commit([original]));
    }
    const file = await saved(source);
    const makeRoom = await fill(13 * MEBIBYTE);
    const store = await openHere(freshName());
    expect(await rejection(store.importBench(file, "B", "2026-03-03T09:00:00Z"))).toMatchObject({ code: "disk-full" });
    expect((await store.summaries()).map(({ id }) => id)).toEqual(["b0"]);
    await makeRoom();
    const report = await store.importBench(file, "B", "2026-03-03T09:00:00Z");
    expect([report.same, report.added, report.originals]).toEqual([["B-b0"], ["B-b1"], 1]);
  });
});
