import { describe, expect, test } from "vitest";
import { page, userEvent } from "vitest/browser";
import { ClassifierError } from "../../model/classifier/classifier-error.ts";
import { CAUTIOUS } from "../../model/classifier/pool.ts";
import { improveOf } from "../../web/improve/improve.svelte.ts";
import { modelFileName } from "../../web/improve/model-file-name.ts";
import { ModelRoom, setRoom } from "../../web/model/model-room.svelte.ts";
import { readShelf } from "../../web/model/model-shelf.ts";
import type { App } from "../../web/shell/app.svelte.ts";
import type { BenchStore } from "../../web/storage/contract.ts";

import { createModelService } from "../../web/workers/model-client.ts";
import { fileLabBreaks, labBreaks, madeModel, type LabBreak } from "./lab-breaks.ts";
import { openApp, showApp } from "./log-app.ts";
import { oneThread } from "./one-thread.ts";

const TYPES = ["central_burst", "torsion", "fatigue"] as const;
/** Learnt with the names of the types exchanged: wrong wherever it answers. */
const wrongModel = madeModel(
  labBreaks(TYPES, 10, 2).map((b) => ({ ...b, type: TYPES[(TYPES.indexOf(b.type as "torsion") + 1) % 3]! })),
  "exchanged model",
);

const roomOn = (app: App, store: BenchStore, shipped = wrongModel, service = oneThread) => {
  const room = new ModelRoom({
    store,
    now: app.surroundings.now,
    reader: () => app.reader,
    shipped: () => Promise.resolve(shipped),
    service,
  });
  setRoom(app, room);
  return room;
};

async function openBenchWith(breaks: readonly LabBreak[], demo: readonly LabBreak[] = []) {
  const { app, store } = await openApp();
  await fileLabBreaks(store, breaks);
  if (demo.length > 0) await fileLabBreaks(store, demo, { demo: true });
  await app.attach(store);
  const room = roomOn(app, store);
  return { app, store, room, improve: improveOf(app) };
}
async function showImprove(breaks: readonly LabBreak[], demo: readonly LabBreak[] = []) {
  const bench = await openBenchWith(breaks, demo);
  bench.app.place = { screen: "improve" };
  await showApp(bench.app, bench.store);
  await expect.element(page.getByRole("heading", { name: "What this bench has learnt" })).toBeVisible();
  return bench;
}

describe("the screen", () => {
  test("shows the card of the model in use with its limits, and what is lacking", async () => {
    await showImprove(labBreaks(["torsion"], 7, 4));
    await expect.element(page.getByText(/not validated on photographs of real breaks/)).toBeVisible();
    await expect.element(page.getByText(/exchanged model; came with Endpair/)).toBeVisible();
    await expect.element(page.getByRole("img", { name: /How often it was right/ })).toBeVisible();
    await expect.element(page.getByRole("img", { name: /number of breaks learnt from/ })).toBeVisible();
    await expect.element(page.getByText(/One more break type needs\s+6 confirmed breaks/)).toBeVisible();
    await expect.element(page.getByRole("button", { name: /Learn from/ })).toBeDisabled();
  });

  test(
    "learns, compares on the same breaks, adopts, and rolls back; the history keeps it all",
    { timeout: 120_000 },
    async () => {
      const { app, room, store } = await showImprove(labBreaks(TYPES, 12, 3));
      await page.getByRole("button", { name: /Learn from 36 confirmed breaks/ }).click();
      await expect.element(page.getByText("Recommended: adopt the new model"), { timeout: 90_000 }).toBeVisible();
      await expect.element(page.getByText(/on the same 36 confirmed breaks/)).toBeVisible();
      await expect.element(page.getByText(/beyond chance/)).toBeVisible();
      expect(room.inUse?.from).toBe("shipped");
      await page.getByRole("button", { name: /^Adopt/ }).click();
      await expect.poll(() => room.inUse?.from, { timeout: 20_000 }).toBe("learnt-here");
      expect(room.inUse?.card.trainedOn).toBe("36 confirmed breaks of this lab");
      expect(room.inUse?.learntFrom).toHaveLength(36);
      expect(room.weights).not.toEqual(CAUTIOUS);
      const digest = room.inUse!.digest;

      // Another start of the application opens the adopted one.
      const again = roomOn(app, store);
      expect((await again.open())?.digest).toBe(digest);
      again.close();

      await page.getByRole("button", { name: "Roll back to the model that came with Endpair" }).click();
      await expect.poll(() => room.inUse?.from).toBe("shipped");
      const shelf = await readShelf(store);
      expect(shelf.lines.map((l) => [l.kind, l.digest])).toEqual([
        ["adopted", digest],
        ["rolled-back", null],
      ]);
      expect(shelf.models.map((m) => m.digest)).toEqual([digest]);
    },
  );

  test(
    "nothing can be said of a new model where the one in use learnt from every break",
    { timeout: 120_000 },
    async () => {
      const { improve, room } = await openBenchWith(labBreaks(TYPES, 8, 3));
      await improve.learn();
      await improve.adopt();
      expect(room.inUse?.from).toBe("learnt-here");
      await improve.learn();
      expect(improve.learnt?.comparison).toMatchObject({ judged: 0, learntFromByTheOneInUse: 24, recommend: "keep" });
    },
  );

  test("learning can be stopped, and the model in use stays", { timeout: 120_000 }, async () => {
    const { improve, room, app } = await openBenchWith(labBreaks(TYPES, 8, 3));
    await room.open();
    const digest = room.inUse?.digest;
    const learning = improve.learn();
    await expect.poll(() => improve.doing?.what ?? "", { interval: 2, timeout: 90_000 }).toMatch(/Comparing|Learning/);
    improve.cancel();
    await learning;
    expect([improve.doing, improve.learnt, improve.wrong]).toEqual([null, null, null]);
    expect(room.inUse?.digest).toBe(digest);
    expect(app.messages.at(-1)?.text).toMatch(/Stopped/);
  });

  test(
    "demo breaks are left out unless ticked, and then the card says that they are rendered",
    { timeout: 120_000 },
    async () => {
      const { improve } = await showImprove(labBreaks(["torsion", "fatigue"], 6, 3), labBreaks(["bending"], 6, 5));
      expect(improve.counts().map((c) => c.type)).toEqual(["torsion", "fatigue"]);
      await page.getByRole("checkbox", { name: /demo mill/ }).click();
      await expect.poll(() => improve.counts().map((c) => c.type)).toEqual(["torsion", "bending", "fatigue"]);
      await improve.learn();
      expect(improve.learnt?.card.trainedOn).toBe(
        "12 confirmed breaks of this lab and 6 invented, rendered demo breaks",
      );
      expect(improve.learnt?.card.limits[0]).toMatch(/rendered images too: it is not validated/);
    },
  );

  test("the keys are on the list of keys", async () => {
    await showImprove(labBreaks(["torsion"], 2, 4));
    await userEvent.keyboard("?");
    await expect.element(page.getByText("learn from the confirmed breaks", { exact: true })).toBeVisible();
    await expect.element(page.getByText("what this bench has learnt", { exact: true })).toBeVisible();
  });
});

describe("the model in use", () => {
  test("a damaged or foreign file is refused in words and the old one stays", async () => {
    const { improve, room, store } = await openBenchWith([]);
    await room.open();
    const digest = room.inUse!.digest;
    const damaged = wrongModel.slice();
    damaged[Math.floor(damaged.length / 2)]! ^= 0xff;
    for (const [bytes, says] of [
      [damaged, /changed or damaged|no ONNX model/],
      [new TextEncoder().encode("just some words, and no model at all"), /no ONNX model/],
    ] as const) {
      await improve.openFile(new File([bytes], "x.onnx"));
      expect(improve.wrong?.message).toMatch(says);
      expect(improve.wrong?.next).not.toBe("");
      expect(room.inUse?.digest).toBe(digest);
    }
    const row = new Float32Array(room.inUse!.columns.length).fill(NaN);
    expect((await room.ask(row, [])).answer.ranking).toHaveLength(3);
    expect((await readShelf(store)).lines).toEqual([]);
  });

  test("a model from a file is taken, and it is said that nobody knows what it learnt from", async () => {
    const other = madeModel(labBreaks(TYPES, 8, 6), "neighbour’s model");
    const { improve, room } = await showImprove([]);
    await improve.openFile(new File([other], "neighbour.onnx"));
    expect(room.inUse).toMatchObject({ from: "file", learntFrom: null, card: { name: "neighbour’s model" } });
    await expect.element(page.getByText(/opened from neighbour.onnx/)).toBeVisible();
  });

  test("an adopted model that is no longer whole gives way to the shipped one, with words; the choice stays", async () => {
    const { improve, app, store, room } = await openBenchWith([]);
    await improve.openFile(new File([madeModel(labBreaks(TYPES, 8, 6))], "m.onnx"));
    const digest = room.inUse!.digest;
    await store.setSetting(`model-file:${digest}`, { base64: btoa("broken"), learntFrom: null });
    const next = roomOn(app, store);
    expect((await next.open())?.from).toBe("shipped");
    expect(next.problem?.message).toMatch(/no longer whole/);
    expect((await readShelf(store)).inUse).toBe(digest);
    await next.rollBack(null, "broken");
    expect(next.problem).toBeNull();
    next.close();
  });

  test("without any model that opens, asking is refused in words", async () => {
    const { app, store } = await openBenchWith([]);
    const room = roomOn(app, store, new Uint8Array(2000), createModelService);
    expect(await room.open()).toBeNull();
    await expect(room.ask(new Float32Array(1), [])).rejects.toThrow(ClassifierError);
    room.close();
  });

  test("a file name that every disk takes", () => {
    expect(modelFileName("learnt here, 2 Mar 2026, 08:00")).toBe("endpair-model-learnt-here-2-mar-2026-08-00.onnx");
    expect(modelFileName("Endpair / rendered 1")).toBe("endpair-rendered-1.onnx");
  });
});
