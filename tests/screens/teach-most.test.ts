import { expect, test } from "vitest";
import { page, userEvent } from "vitest/browser";
import { lessonWords } from "../../web/log/lesson-words.ts";
import { logOf } from "../../web/log/log.svelte.ts";
import { ModelRoom, setRoom } from "../../web/model/model-room.svelte.ts";
import { createModelService } from "../../web/workers/model-client.ts";
import { fileLabBreaks, labBreaks, madeModel } from "./lab-breaks.ts";
import { openApp, showApp } from "./log-app.ts";
import { aBreak, storeBreaks } from "./log-breaks.ts";

const model = madeModel(labBreaks(["central_burst", "torsion", "fatigue"], 10, 1));

async function showLog() {
  const { app, store } = await openApp();
  await fileLabBreaks(store, labBreaks(["torsion"], 4, 8));
  await fileLabBreaks(store, labBreaks(["torsion", "fatigue"], 2, 9), { open: true });
  await storeBreaks(store, [aBreak("E-1")]);
  await app.attach(store);
  setRoom(
    app,
    new ModelRoom({
      store,
      now: app.surroundings.now,
      reader: () => app.reader,
      shipped: () => Promise.resolve(model),
      service: createModelService,
    }),
  );
  await showApp(app, store);
  return logOf(app);
}

test("the log lists the open breaks that would teach most, each with a reason; a second press gives the log back", async () => {
  const log = await showLog();
  const before = log.shown.map((r) => r.summary.number);
  expect(before).toHaveLength(9);
  await userEvent.keyboard("t");
  await expect.poll(() => log.lessons?.size, { timeout: 20_000 }).toBe(5);
  // Confirmed breaks teach nothing more; an empty one is last and says that it must be marked first.
  expect(log.shown.every((r) => r.summary.confirmed === null)).toBe(true);
  expect(log.shown.at(-1)?.summary.number).toBe("E-1");
  await expect.element(page.getByText("little is marked yet: mark it first")).toBeVisible();
  const first = log.lessons!.get(log.shown[0]!.summary.id)!;
  expect(first.place).toBe(0);
  await expect.element(page.getByText(lessonWords(first.why)).first()).toBeVisible();
  // fatigue has no confirmed break on this bench, torsion has four
  expect(log.shown[0]!.summary.number).toMatch(/fatigue/);
  await userEvent.keyboard("t");
  await expect.poll(() => log.shown.map((r) => r.summary.number)).toEqual(before);
});

test("sorting by a column or showing all leaves the list", async () => {
  const log = await showLog();
  await log.listLessons();
  expect(log.filtering).toBe(true);
  log.sortBy("number");
  expect(log.lessons).toBeNull();
  await log.listLessons();
  log.askAll();
  expect([log.lessons, log.filtering]).toEqual([null, false]);
});
