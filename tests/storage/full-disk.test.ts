import { afterEach, describe, expect, it } from "vitest";
import { cdp } from "vitest/browser";
import { saved } from "./forge.ts";
import { addMark, freshName, jpegBytes, newOriginal, open, photograph, rejection, shut, working } from "./workbench.ts";

const MEBIBYTE = 1024 * 1024;

/** The one command of the browser's own tools that these tests use: how much of the disk this address may take. */
interface Tools {
  send(command: "Storage.overrideQuotaForOrigin", what: { origin: string; quotaSize?: number }): Promise<unknown>;
}
const tools = (): Tools => cdp();

/** Leaves this much room on the disk, bytes. */
async function leaveRoom(bytes: number): Promise<void> {
  const { usage = 0 } = await navigator.storage.estimate();
  await tools().send("Storage.overrideQuotaForOrigin", { origin: location.origin, quotaSize: usage + bytes });
}
const makeRoom = (): Promise<unknown> => tools().send("Storage.overrideQuotaForOrigin", { origin: location.origin });

describe("a full disk", () => {
  afterEach(makeRoom);

  it("is told with a next step, takes nothing with it, and the same change can be saved once there is room", async () => {
    const name = freshName();
    const store = await open(name);
    const work = working("b1").edit(addMark("m1"));
    await store.commit(work.commit());
    const before = await store.load("b1");

    const originals = await Promise.all(
      Array.from({ length: 12 }, (_, i) => newOriginal(jpegBytes(MEBIBYTE, i + 1), `${i}.jpg`)),
    );
    const commit = work.edit(addMark("m2")).commit(originals);
    await leaveRoom(6 * MEBIBYTE);
    const failure = await rejection(store.commit(commit));
    expect(failure).toMatchObject({ name: "StoreError", code: "disk-full" });
    expect((failure as { next?: unknown }).next).toContain("Save the bench file");
    expect(await store.load("b1")).toEqual(before);
    expect(await store.known(originals.map((original) => original.hash))).toEqual(new Set());

    await makeRoom();
    expect((await store.commit(commit))[0]?.revision).toBe(2);
    await shut(store);
    const again = await open(name);
    expect(again.recovered).toBeNull();
    expect((await again.load("b1"))?.record).toEqual(work.record);
    expect((await again.known(originals.map((original) => original.hash))).size).toBe(12);
  });

  it("met while a bench file is taken over leaves whole breaks only, and the rest follows once there is room", async () => {
    const source = await open(freshName());
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
    const store = await open(freshName());
    await leaveRoom(4 * MEBIBYTE);
    expect(await rejection(store.importBench(file, "B", "2026-03-03T09:00:00Z"))).toMatchObject({ code: "disk-full" });
    expect((await store.summaries()).map(({ id }) => id)).toEqual(["b0"]);
    await makeRoom();
    const report = await store.importBench(file, "B", "2026-03-03T09:00:00Z");
    expect([report.same, report.added, report.originals]).toEqual([["B-b0"], ["B-b1"], 1]);
  });
});
