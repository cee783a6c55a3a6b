import { describe, expect, test } from "vitest";
import { page, userEvent } from "vitest/browser";
import { applyEdit, type Edit } from "../../model/break/edits.ts";
import { heldBackWords } from "../../web/improve/lab-card.ts";
import { improveOf } from "../../web/improve/improve.svelte.ts";
import { ModelRoom, setRoom } from "../../web/model/model-room.svelte.ts";
import { referenceSetOf } from "../../web/reference/reference-set.svelte.ts";
import { keepVersion, latestVersion, readVersions } from "../../web/reference/version-shelf.ts";
import { saveSetFile } from "../../web/reference/set-file.ts";
import { summarise } from "../../web/storage/summary.ts";
import type { BenchStore } from "../../web/storage/contract.ts";
import { createModelService } from "../../web/workers/model-client.ts";
import { fileLabBreaks, labBreaks, madeModel } from "./lab-breaks.ts";
import { openApp, showApp } from "./log-app.ts";
import { AT } from "./log-breaks.ts";
import { unzipped } from "./unzipped.ts";
import { fileSetBreaks, type SetBreakMade } from "./set-breaks.ts";

const TYPES = ["central_burst", "torsion", "fatigue"] as const;
const many = (n: number): SetBreakMade[] => Array.from({ length: n }, (_, i) => ({ type: TYPES[i % 3]! }));

async function showSet(made: readonly SetBreakMade[]) {
  const { app, store } = await openApp();
  await fileSetBreaks(store, made);
  await store.setSetting("preferences", { reader: "L. Lead" });
  app.place = { screen: "set" };
  await showApp(app, store);
  const set = referenceSetOf(app);
  await expect.poll(() => set.rows?.length, { timeout: 20_000 }).toBe(made.length);
  return { app, store, set };
}

describe("the set", () => {
  test("tells members, parts and coverage, and leads from a number to its breaks", async () => {
    const { set } = await showSet(many(12));
    await expect.element(page.getByText("12 breaks", { exact: true })).toBeVisible();
    const parts = page.getByRole("table", { name: "The parts" });
    await expect.element(parts.getByRole("row", { name: /^validation/ })).toBeVisible();
    expect([...set.parts.of.values()].filter((part) => part === "test").length).toBeGreaterThan(0);
    await page.getByRole("button", { name: "by machine" }).click();
    await expect.element(page.getByRole("table", { name: /by machine/ })).toBeVisible();
    await page.getByRole("button", { name: /^4 of torsion/i }).click();
    const listed = page.getByRole("status").filter({ hasText: /^Torsion/ });
    await expect.element(listed.getByRole("link", { name: "S-2", exact: true })).toHaveAttribute("href", "#/bench/s-2");
    await expect.element(page.getByText(/Only 4 of torsion/i)).toBeVisible();
  });

  test("an empty set teaches the next step", async () => {
    const { app, store } = await openApp();
    app.place = { screen: "set" };
    await showApp(app, store);
    await expect.element(page.getByText(/No break of this bench is confirmed yet/)).toBeVisible();
  });

  test("a level lets only those in that reached it", async () => {
    const { set } = await showSet(many(3));
    await page.getByLabelText("Breaks that are let in").selectOptions("plus section, and above");
    await expect.poll(() => set.members.length).toBe(0);
    await expect.element(page.getByText(/3 stand below the level chosen/)).toBeVisible();
  });

  test("what was worked out is kept: a second visit reads no record again", async () => {
    const { app, store, set } = await showSet(many(4));
    let loads = 0;
    app.store = new Proxy(store, {
      get: (target, key) => {
        if (key === "load") return (id: string) => (loads++, target.load(id));
        const value: unknown = Reflect.get(target, key, target);
        return typeof value === "function" ? (value.bind(target) as unknown) : value;
      },
    });
    await set.read();
    expect([set.rows?.length, loads]).toEqual([4, 0]);
    await fileSetBreaks(store, [{ type: "torsion" }], 9);
    await app.refreshSummaries();
    await expect.poll(() => set.rows?.length).toBe(5);
    expect(loads).toBe(1);
  });
});

test("two changes at once are both kept", async () => {
  const { set, store } = await showSet(many(2));
  await Promise.all([set.plan({ salt: "one" }), set.plan({ how: "by-hash" }), set.set({ level: "section" })]);
  expect(await store.getSetting("reference-set")).toMatchObject({
    level: "section",
    plan: { salt: "one", how: "by-hash" },
  });
});

describe("leaks and photographs that are there twice", () => {
  test("one file under two breaks is found at once, shown, and can be taken out with a reason", async () => {
    const { set } = await showSet([...many(8), { type: "torsion", pictures: [2, 400] }]);
    expect(set.exact.length).toBe(1);
    await expect.element(page.getByAltText(/Photograph of S-1 /)).toBeVisible();
    await expect.element(page.getByAltText(/Photograph of S-9 /)).toBeVisible();
    const twice = page.getByRole("region", { name: "Photographs that are there twice" });
    await twice.getByRole("button", { name: "Take S-9 out…" }).click();
    await page.getByLabelText(/^Reason/).fill("filed under the wrong break");
    await userEvent.keyboard("{Enter}");
    await expect.poll(() => set.exact.length).toBe(0);
    expect(set.settings.leftOut).toMatchObject([
      { number: "S-9", reason: "filed under the wrong break", by: "L. Lead" },
    ]);
    await page.getByRole("button", { name: "Take S-9 back" }).click();
    await expect.poll(() => set.exact.length).toBe(1);
  });

  test("the same picture packed again is found by its look, remembered, and can be called two by a person", async () => {
    const { set } = await showSet([...many(8), { type: "torsion", pictures: [2, 400], quality: 0.35 }]);
    expect(set.exact).toEqual([]);
    await page.getByRole("button", { name: "Compare the photographs" }).click();
    await expect.poll(() => set.alike.map(({ breakIds }) => breakIds), { timeout: 20_000 }).toEqual([["s-1", "s-9"]]);
    await expect.element(page.getByText(/Look like one/)).toBeVisible();
    set.lookAlikes = null;
    await set.read();
    expect(set.alike.length).toBe(1);
    await page.getByRole("button", { name: "They are two…" }).click();
    await page.getByLabelText(/^Reason/).fill("another wire, same fixture");
    await userEvent.keyboard("{Enter}");
    await expect.poll(() => set.alike.length).toBe(0);
    await expect.element(page.getByText(/called two different photographs/)).toBeVisible();
  });

  test("a leak of one cast names its way out, and keeping the cast together closes it", async () => {
    const made: SetBreakMade[] = [
      ...many(11),
      { type: "torsion", cast: "K7", pictures: [900, 901] },
      { type: "fatigue", cast: "K7", pictures: [900, 902] },
    ];
    const { set } = await showSet(made);
    // Salts are tried until the two lie apart: by hash every part is possible.
    for (let i = 0; set.leaks.length === 0 && i < 60; i++) await set.plan({ how: "by-hash", salt: `salt ${i}` });
    expect(set.leaks.map(({ kind }) => kind)).toEqual(["same-photograph"]);
    await page.getByRole("button", { name: "Keep one cast together" }).click();
    await expect.poll(() => set.leaks.length).toBe(0);
    expect(set.settings.plan.groupBy).toBe("cast");
    await expect.element(page.getByText(/No leak was found/)).toBeVisible();
  });

  test("comparing can be stopped, says so, and goes on from what was made ready", async () => {
    const { set, app } = await showSet(many(30));
    const comparing = set.compare();
    await expect.poll(() => set.task.progress?.done ?? 0, { interval: 1, timeout: 20_000 }).toBeGreaterThan(2);
    set.task.cancel();
    expect(await comparing).toBe(false);
    expect(app.messages.at(-1)?.text).toMatch(/Stopped/);
    const ready = (await set.cache.looks()).size;
    expect(ready).toBeGreaterThan(0);
    expect(ready).toBeLessThan(60);
    expect(await set.compare()).toBe(true);
    expect((await set.cache.looks()).size).toBe(60);
  });
});

describe("versions", () => {
  test("freezes, tells what changed since, and never writes a version over", async () => {
    const { set, store, app } = await showSet(many(12));
    await userEvent.keyboard("2");
    await page.getByLabelText(/^Note/).fill("first of the year");
    await page.getByRole("button", { name: "Freeze version 1.0.0" }).click();
    await expect.poll(() => set.versions.length, { timeout: 20_000 }).toBe(1);
    const [first] = await readVersions(store);
    expect(first).toMatchObject({ version: "1.0.0", by: "L. Lead", note: "first of the year", name: "wire-breaks" });
    expect(first!.members).toHaveLength(12);
    expect(first!.testGroups.length).toBe(first!.members.filter((m) => m.split === "test").length);
    await expect.element(page.getByText("Since 1.0.0: Nothing changed.")).toBeVisible();

    await fileSetBreaks(store, many(3), 50);
    await app.refreshSummaries();
    await expect.element(page.getByText("Since 1.0.0: 3 added.")).toBeVisible();
    await page.getByLabelText("Version", { exact: true }).fill("1.0.0");
    await expect.element(page.getByText(/never written over/)).toBeVisible();
    await page.getByLabelText("Version", { exact: true }).fill("1.1.0");
    await page.getByRole("button", { name: "Freeze version 1.1.0" }).click();
    await expect.poll(() => set.versions.length, { timeout: 20_000 }).toBe(2);
    // No new break entered the frozen test part, and none moved.
    const tests = set.versions.map((v) => v.members.flatMap((m) => (m.split === "test" ? [m.breakId] : [])));
    expect(tests[1]).toEqual(tests[0]);
    await expect
      .element(page.getByRole("region", { name: /What changed between/ }).getByText("3 added."))
      .toBeVisible();
  });

  test("a version that was written while the tab was killed is listed and left as it is", async () => {
    const { set, store } = await showSet(many(6));
    const frozen = await set.freeze("1.0.0", "L. Lead", "");
    expect(frozen).not.toBeNull();
    await store.setSetting("reference-set-versions", []);
    await expect(keepVersion(store, { ...frozen!, note: "another" })).rejects.toMatchObject({ code: "number-taken" });
    expect((await readVersions(store)).map(({ note }) => note)).toEqual([""]);
    await keepVersion(store, frozen!);
    expect(await readVersions(store)).toHaveLength(1);
  });

  test("a tab that only reads changes nothing", async () => {
    const { app } = await showSet(many(6));
    app.mode = "reader";
    await expect.element(page.getByText(/This tab only reads: another tab is writing\. Everything/)).toBeVisible();
    await expect.element(page.getByLabelText("Breaks that are let in")).toBeDisabled();
    await userEvent.keyboard("2");
    await expect.element(page.getByRole("button", { name: /^Freeze version/ })).toBeDisabled();
  });
});

/** The file the page hands to the downloads, where the browser has no dialog of its own for saving. */
async function written(press: string | RegExp): Promise<File> {
  const picker = Object.getOwnPropertyDescriptor(window, "showSaveFilePicker");
  if (picker) Reflect.deleteProperty(window, "showSaveFilePicker");
  try {
    const link = new Promise<HTMLAnchorElement>((resolve) => {
      const onClick = (event: Event) => {
        if (!(event.target instanceof HTMLAnchorElement) || event.target.download === "") return;
        event.preventDefault();
        removeEventListener("click", onClick, true);
        resolve(event.target);
      };
      addEventListener("click", onClick, true);
    });
    await page.getByRole("button", { name: press }).click();
    const { href, download } = await link;
    return new File([await (await fetch(href)).blob()], download, { type: "application/zip" });
  } finally {
    if (picker) Object.defineProperty(window, "showSaveFilePicker", picker);
  }
}

describe("a file of the set", () => {
  async function frozenSet(made: readonly SetBreakMade[]) {
    const shown = await showSet(made);
    expect(await shown.set.freeze("1.0.0", "L. Lead", "")).not.toBeNull();
    await userEvent.keyboard("3");
    return shown;
  }

  test("is written with what was said about it, people as the same codes every time", async () => {
    const { set, store } = await frozenSet(many(9));
    const write = page.getByRole("button", { name: "Write version 1.0.0…" });
    await expect.element(write).toBeDisabled();
    await expect.element(page.getByText("Say which laboratory gives it away.")).toBeVisible();
    await page.getByLabelText("Laboratory that gives it away").fill("Hollowmoor Wire (invented)");
    await page.getByRole("combobox", { name: /Licence/ }).selectOptions("CC0 1.0");
    await expect.element(page.getByText("Anybody may use it for anything, without naming you.")).toBeVisible();
    await page.getByLabelText(/^Address/).fill("not an address");
    await userEvent.tab();
    await expect.element(page.getByText(/must begin with https/)).toBeVisible();
    await page.getByLabelText(/^Address/).fill("");
    await userEvent.tab();
    await expect.element(write).toBeEnabled();
    const file = await written("Write version 1.0.0…");
    expect(file.name).toBe("wire-breaks-1.0.0.zip");
    await expect.element(page.getByText(/9 breaks, 18 photographs/)).toBeVisible();
    const zip = await unzipped(file);
    const croissant = JSON.parse(zip.get("croissant.json")!) as Record<string, unknown>;
    expect(croissant).toMatchObject({
      version: "1.0.0",
      license: "https://creativecommons.org/publicdomain/zero/1.0/",
    });
    expect(croissant["url"]).toBe("urn:endpair:set:wire-breaks:1.0.0");
    expect(zip.get("tables/cases.csv")!.trim().split("\r\n")).toHaveLength(10);
    const secret = await store.getSetting<string>("reference-set-people");
    const all = [...zip.values()].join("\n");
    expect(all).not.toContain("A. Reader");
    expect(all).not.toContain(secret!);
    const code = /reader-[0-9a-z]{8}/.exec(all)![0];
    const again = await unzipped(await written("Write version 1.0.0…"));
    expect([...again.values()].join("\n")).toBe(all);
    expect(all).toContain(code);
    expect(set.task.running).toBe(false);
  });

  test("is refused while photographs of two breaks lie in two parts, and the leak is named", async () => {
    const { set } = await showSet([...many(11), { type: "torsion", pictures: [2, 400] }]);
    for (let i = 0; set.leaks.length === 0 && i < 60; i++) await set.plan({ how: "by-hash", salt: `salt ${i}` });
    expect(set.leaks.length).toBe(1);
    expect(await set.freeze("1.0.0", "L. Lead", "")).toBeNull();
    await expect(saveSetFile(set)).rejects.toThrow(/One photograph belongs to breaks in several parts: S-1 .*S-12/);
  });

  test("stopped, nothing is left that looks like a set", async () => {
    const { set, app } = await frozenSet(many(30));
    await set.set({ given: { ...set.settings.given, creator: "Hollowmoor Wire (invented)" } });
    const ended: string[] = [];
    const picker = Object.getOwnPropertyDescriptor(window, "showSaveFilePicker");
    Object.defineProperty(window, "showSaveFilePicker", {
      configurable: true,
      value: () =>
        Promise.resolve({
          createWritable: () =>
            Promise.resolve(
              new WritableStream({
                write: () => set.task.cancel(),
                close: () => void ended.push("closed"),
                abort: () => void ended.push("aborted"),
              }),
            ),
        }),
    });
    try {
      expect(await saveSetFile(set)).toBeNull();
    } finally {
      if (picker) Object.defineProperty(window, "showSaveFilePicker", picker);
    }
    expect(ended).toEqual(["aborted"]);
    expect(app.messages.at(-1)?.text).toBe("Stopped. No file was written.");
  });

  test("a full disk is told in the browser's words and leaves no file", async () => {
    const { set } = await frozenSet(many(6));
    await set.set({ given: { ...set.settings.given, creator: "Hollowmoor Wire (invented)" } });
    let aborted = false;
    const picker = Object.getOwnPropertyDescriptor(window, "showSaveFilePicker");
    Object.defineProperty(window, "showSaveFilePicker", {
      configurable: true,
      value: () =>
        Promise.resolve({
          createWritable: () =>
            Promise.resolve({
              getWriter: () => ({
                write: () => Promise.reject(new DOMException("The disk is full.", "QuotaExceededError")),
                abort: () => Promise.resolve(void (aborted = true)),
              }),
            }),
        }),
    });
    try {
      await expect(saveSetFile(set)).rejects.toThrow("The disk is full.");
    } finally {
      if (picker) Object.defineProperty(window, "showSaveFilePicker", picker);
    }
    expect(aborted).toBe(true);
  });

  test("a break that is edited meanwhile stops it, since the file would not be what was frozen", async () => {
    const { set, store } = await frozenSet(many(6));
    await set.set({ given: { ...set.settings.given, creator: "Hollowmoor Wire (invented)" } });
    const edit: Edit = { kind: "set-context", patch: { machine: "another" } };
    const { next, inverse } = applyEdit((await store.load("s-3"))!.record, edit, AT);
    const line = { breakId: "s-3", revision: next.revision, edit, inverse, of: null, by: "L. Lead", at: AT };
    await store.commit({
      entries: [{ ...line, origin: "reader" }],
      records: [{ record: next, summary: summarise(next, "torsion") }],
    });
    const picker = Object.getOwnPropertyDescriptor(window, "showSaveFilePicker");
    Object.defineProperty(window, "showSaveFilePicker", {
      configurable: true,
      value: () => Promise.resolve({ createWritable: () => Promise.resolve(new WritableStream()) }),
    });
    try {
      await expect(saveSetFile(set)).rejects.toThrow(/S-3 was edited while/);
    } finally {
      if (picker) Object.defineProperty(window, "showSaveFilePicker", picker);
    }
  });
});

describe("learning", () => {
  const shipped = madeModel(labBreaks(TYPES, 8, 9), "shipped model");
  const roomOn = (store: BenchStore) =>
    new ModelRoom({
      store,
      now: () => "2026-03-02T08:00:00Z",
      reader: () => "L. Lead",
      shipped: () => Promise.resolve(shipped),
      service: createModelService,
    });

  test("never learns from the frozen test part, judges by it, and says so", { timeout: 120_000 }, async () => {
    const { app, store } = await openApp();
    await fileLabBreaks(store, labBreaks(TYPES, 12, 3));
    await store.setSetting("preferences", { reader: "L. Lead" });
    await app.attach(store);
    const room = roomOn(store);
    setRoom(app, room);
    const set = referenceSetOf(app);
    await set.refresh();
    expect(await set.freeze("1.0.0", "L. Lead", "")).not.toBeNull();
    const version = (await latestVersion(store))!;
    const test = new Set(version.members.flatMap((m) => (m.split === "test" ? [m.breakId] : [])));
    expect(test.size).toBeGreaterThan(3);

    app.place = { screen: "improve" };
    await showApp(app, store);
    await expect.element(page.getByText(heldBackWords(test.size), { exact: false })).toBeVisible();
    const improve = improveOf(app);
    await improve.learn();
    const { learnt } = improve;
    expect(improve.wrong).toBeNull();
    expect(learnt!.learntFrom).toHaveLength(36 - test.size);
    expect(learnt!.learntFrom.some((id) => test.has(id))).toBe(false);
    expect(learnt!.heldBack).toBe(test.size);
    expect(learnt!.card.limits).toContain(heldBackWords(test.size));
    // All 36 judge: those left out while learning, and the test part.
    expect(learnt!.comparison?.judged).toBe(36);
    room.close();
  });
});
