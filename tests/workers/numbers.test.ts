import { afterEach, describe, expect, test } from "vitest";
import type { Mark, WireBreak } from "../../model/break/wire-break.ts";
import { COLUMN_NAMES } from "../../model/classifier/vector.ts";
import { numbersOfBreak, viewsToDescribe, describeView } from "../../model/classifier/of-break.ts";
import type { BreakTypeId } from "../../model/evidence/break-type-ids.ts";
import { suggest } from "../../model/evidence/suggest.ts";
import { observe } from "../../model/measure/observe.ts";
import { NumberCache } from "../../web/numbers/number-cache.ts";
import { NumberKeeper, type ViewFault } from "../../web/numbers/number-keeper.ts";
import type { BenchStore } from "../../web/storage/contract.ts";
import { createDescribeClient, type DescribeClient } from "../../web/workers/describe-client.ts";
import { AT, freshName, newOriginal, open, photograph, working } from "../storage/workbench.ts";

const SIZE = 400;
const closing: (() => Promise<void> | void)[] = [];
afterEach(async () => {
  for (const close of closing.splice(0)) await close();
});

/** A speckled round face in the middle of a square picture. */
async function facePicture(seed: number, size = SIZE): Promise<Uint8Array<ArrayBuffer>> {
  const canvas = new OffscreenCanvas(size, size);
  const context = canvas.getContext("2d")!;
  context.fillStyle = "rgb(128 128 128)";
  context.fillRect(0, 0, size, size);
  let state = seed;
  const next = (): number => (state = (state * 16807) % 2147483647) / 2147483647;
  for (let i = 0; i < 1500; i++) {
    const grey = 40 + 180 * next();
    context.fillStyle = `rgb(${grey} ${grey} ${grey})`;
    context.fillRect(size * next(), size * next(), size * (0.01 + 0.02 * next()), size * (0.01 + 0.02 * next()));
  }
  return new Uint8Array(await (await canvas.convertToBlob({ type: "image/png" })).arrayBuffer());
}

const outline = (id: string, photographId: string, size = SIZE): Mark => ({
  id,
  feature: "wire_outline",
  state: "present",
  photographId,
  geometry: { type: "ellipse", cx: size / 2, cy: size / 2, rx: 0.45 * size, ry: 0.42 * size, angle_deg: 20 },
  given: {},
  note: "",
  by: "A. Reader",
  at: AT,
});

/** Stores a break with a face on its machine end. */
async function breakWithFace(
  store: BenchStore,
  id: string,
  { seed = 1, size = SIZE, confirmed = null as BreakTypeId | null, stored = true } = {},
) {
  const original = await newOriginal(await facePicture(seed, size), `${id}.png`);
  const photo = { ...photograph(`${id}-p`, original), mediaType: "image/png", widthPx: size, heightPx: size };
  const work = working(id)
    .edit({ kind: "set-end", side: "machine", patch: { recovery: "recovered" } })
    .edit({ kind: "add-photograph", side: "machine", index: 0, photograph: photo })
    .edit({ kind: "add-mark", side: "machine", index: 0, mark: outline(`${id}-m`, photo.id, size) });
  if (confirmed !== null) confirm(work, confirmed);
  await store.commit(work.commit(stored ? [{ ...original, mediaType: "image/png" }] : []));
  return work;
}

const confirm = (work: ReturnType<typeof working>, type: BreakTypeId) =>
  work.edit({
    kind: "add-confirmation",
    confirmation: {
      kind: "confirmed",
      id: `c-${work.record.id}`,
      type,
      means: ["sem"],
      reason: "seen",
      by: "A. Reader",
      at: AT,
      suggestion: suggest(observe(work.record)),
      revision: work.record.revision,
    },
  });

/** A keeper on a store, and how often it read a record and a face. */
async function keeperOn(store: BenchStore, name: string, describeClient: DescribeClient = createDescribeClient()) {
  const asked = { load: 0, face: 0 };
  let summaries = await store.summaries();
  const cache = new NumberCache(name);
  const keeper = new NumberKeeper({
    store: {
      load: (id) => (asked.load++, store.load(id)),
      original: (hash) => store.original(hash),
      picture: (hash) => store.picture(hash),
    },
    summaries: () => summaries,
    describe: {
      describe: (input, signal) => (asked.face++, describeClient.describe(input, signal)),
      close: () => describeClient.close(),
    },
    cache,
  });
  closing.push(() => keeper.close());
  const refresh = async () => {
    summaries = await store.summaries();
  };
  return { keeper, asked, cache, refresh };
}

const faceColumns = COLUMN_NAMES.flatMap((name, i) => (name.startsWith("face.") && !name.endsWith(".gap") ? [i] : []));
const numbersOfPicture = async (record: WireBreak, seed: number) => {
  const bitmap = await createImageBitmap(new Blob([await facePicture(seed)], { type: "image/png" }));
  const context = new OffscreenCanvas(SIZE, SIZE).getContext("2d")!;
  context.drawImage(bitmap, 0, 0);
  const { data } = context.getImageData(0, 0, SIZE, SIZE);
  const [face] = viewsToDescribe(record);
  const values = describeView({ widthPx: SIZE, heightPx: SIZE, rgba: data }, face!.outline, 1);
  return { side: "machine", kind: "face", values } as const;
};

describe("breaks in numbers", () => {
  test("marks, facts and the face of a record, the face as read in this page", async () => {
    const store = await open();
    const { record } = await breakWithFace(store, "one", { seed: 5 });
    const { keeper } = await keeperOn(store, freshName());
    const vector = await keeper.numbersOf(record);
    expect([...vector]).toEqual([...numbersOfBreak(record, [await numbersOfPicture(record, 5)])]);
    expect(faceColumns.every((i) => Number.isFinite(vector[i]))).toBe(true);
  });

  test("a picture of 2400 px is read from a smaller copy with the outline at its place", async () => {
    const store = await open();
    const large = await breakWithFace(store, "large", { seed: 9, size: 2400 });
    const small = await breakWithFace(store, "small", { seed: 9, size: 1600 });
    const other = await breakWithFace(store, "other", { seed: 10, size: 1600 });
    const { keeper } = await keeperOn(store, freshName());
    const read = async ({ record }: { readonly record: WireBreak }) => (await keeper.viewNumbersOf(record))[0]!.values;
    const [a, b, c] = [await read(large), await read(small), await read(other)];
    const worst = (p: Float32Array, q: Float32Array) => Math.max(...p.map((value, i) => Math.abs(value - q[i]!)));
    // The same drawing at two sizes reads alike; another one does not, nor would another part of the same one.
    expect(worst(a, b)).toBeLessThan(0.08);
    expect(worst(a, c)).toBeGreaterThan(0.16);
  });

  test("confirmed breaks only: not open, reopened or binned ones; the second time nothing is read", async () => {
    const store = await open();
    await breakWithFace(store, "kept", { seed: 1, confirmed: "torsion" });
    await breakWithFace(store, "open", { seed: 2 });
    const reopened = await breakWithFace(store, "again", { seed: 3, confirmed: "torsion" });
    reopened.edit({
      kind: "add-confirmation",
      confirmation: { kind: "reopened", id: "r", reason: "second look", by: "C. Reader", at: AT },
    });
    await store.commit(reopened.commit());
    const binned = await breakWithFace(store, "binned", { seed: 4, confirmed: "torsion" });
    binned.edit({ kind: "set-binned", at: AT });
    await store.commit(binned.commit());
    const { keeper, asked } = await keeperOn(store, freshName());
    const told: number[] = [];
    const all = await keeper.allConfirmed({ onProgress: ({ done, total }) => told.push(done / total) });
    expect(all.map(({ id, type }) => [id, type])).toEqual([["kept", "torsion"]]);
    expect(told).toEqual([1]);
    expect((await keeper.allOpen()).map(({ id }) => id)).toEqual(["again", "open"]);
    expect(asked).toEqual({ load: 3, face: 3 });
    expect(await keeper.allConfirmed()).toEqual(all);
    expect(asked).toEqual({ load: 3, face: 3 });
  });

  test("an edited break is computed anew, its untouched face is not", async () => {
    const store = await open();
    const work = await breakWithFace(store, "one", { confirmed: "torsion" });
    const { keeper, asked, refresh } = await keeperOn(store, freshName());
    const metal = COLUMN_NAMES.indexOf("context.metal.copper");
    expect((await keeper.allConfirmed())[0]!.vector[metal]).toBeNaN();
    work.edit({ kind: "set-context", patch: { metal: "copper" } });
    await store.commit(work.commit());
    await refresh();
    const [again] = await keeper.allConfirmed();
    expect([again!.vector[metal], again!.revision]).toEqual([1, work.record.revision]);
    expect(asked).toEqual({ load: 2, face: 1 });
  });

  test("another day the numbers come from the disk", async () => {
    const store = await open();
    await breakWithFace(store, "one", { confirmed: "torsion" });
    const name = freshName();
    const first = await keeperOn(store, name);
    const all = await first.keeper.allConfirmed();
    await first.keeper.close();
    const second = await keeperOn(store, name);
    expect(await second.keeper.allConfirmed()).toEqual(all);
    expect(second.asked).toEqual({ load: 0, face: 0 });
    const { record } = (await store.load("one"))!;
    expect(await second.keeper.viewNumbersOf(record)).toHaveLength(1);
    expect(second.asked.face).toBe(0);
  });

  test("a face whose original is gone is told and tried again another day", async () => {
    const store = await open();
    const { record } = await breakWithFace(store, "one", { confirmed: "torsion", stored: false });
    const name = freshName();
    const faults: ViewFault[] = [];
    const first = await keeperOn(store, name);
    const [only] = await first.keeper.allConfirmed({ onFault: (fault) => faults.push(fault) });
    expect(faults).toEqual([
      { number: "B-one", fileName: "one.png", message: "The original of one.png is not on this disk." },
    ]);
    expect(faceColumns.every((i) => Number.isNaN(only!.vector[i]))).toBe(true);
    expect([...only!.vector]).toEqual([...numbersOfBreak(record, [])]);
    expect((await first.cache.breaks()).size).toBe(0);
  });

  test("cancelled: ends as aborted, and the one who still waits for the same face gets it", async () => {
    const store = await open();
    const { record } = await breakWithFace(store, "one", { confirmed: "torsion" });
    const { keeper } = await keeperOn(store, freshName());
    const stop = new AbortController();
    const all = keeper.allConfirmed({ signal: stop.signal }).catch((error: unknown) => error);
    const faces = keeper.viewNumbersOf(record);
    stop.abort();
    expect(await all).toMatchObject({ name: "AbortError" });
    expect(await faces).toHaveLength(1);
  });

  test("without a database of numbers everything is still computed", async () => {
    const name = freshName();
    await new Promise<void>((resolve, reject) => {
      // A newer version is there, so this one is refused.
      const request = indexedDB.open(name, 7);
      request.onsuccess = () => (request.result.close(), resolve());
      request.onerror = () => reject(new Error("not opened"));
    });
    const store = await open();
    await breakWithFace(store, "one", { confirmed: "torsion" });
    const { keeper, asked } = await keeperOn(store, name);
    expect(await keeper.allConfirmed()).toHaveLength(1);
    expect(await keeper.allConfirmed()).toHaveLength(1);
    expect(asked).toEqual({ load: 1, face: 1 });
  });
});
