import { cdp } from "vitest/browser";
import { afterEach, describe, expect, it } from "vitest";
import { addMark, freshName, jpegBytes, newOriginal, open, rejection, shut, working } from "./workbench.ts";

/** What of the browser's debugging protocol this test uses. */
interface Protocol {
  send(method: string, params: { origin: string; quotaSize?: number }): Promise<unknown>;
}
const setQuota = (quotaSize?: number): Promise<unknown> =>
  (cdp() as unknown as Protocol).send("Storage.overrideQuotaForOrigin", {
    origin: location.origin,
    ...(quotaSize === undefined ? {} : { quotaSize }),
  });

const MEBIBYTE = 1024 * 1024;

describe("a full disk", () => {
  afterEach(() => setQuota());

  it("is told with a next step, takes nothing with it, and the same change can be saved once there is room", async () => {
    await setQuota(5 * MEBIBYTE); // Before the first write: the browser remembers for a while how much room it saw.
    const name = freshName();
    const store = await open(name);
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

    await setQuota();
    expect((await store.commit(commit))[0]?.revision).toBe(2);
    await shut(store);
    const again = await open(name);
    expect((await again.load("b1"))?.record).toEqual(work.record);
    expect((await again.known(originals.map((original) => original.hash))).size).toBe(12);
  });
});
