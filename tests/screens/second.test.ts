import { describe, expect, test } from "vitest";
import { page, userEvent } from "vitest/browser";
import { BREAK_TYPE_IDS } from "../../model/evidence/break-type-ids.ts";
import { TYPE_NAMES } from "../../web/bench/words.ts";
import type { App } from "../../web/shell/app.svelte.ts";
import { StoreError, type BenchStore } from "../../web/storage/contract.ts";
import { aBreak } from "./log-breaks.ts";
import { openApp, showApp } from "./log-app.ts";
import { fileBreaks, photographed, readBy, type Photographed } from "./second-breaks.ts";

async function bench(breaks: readonly Photographed[], reader = "B. Kern") {
  const { app, store } = await openApp();
  await fileBreaks(store, breaks);
  if (reader !== "") await store.setSetting("preferences", { reader });
  return { app, store };
}
async function show({ app, store }: { app: App; store: BenchStore }, hash = "#/second") {
  location.hash = hash;
  app.followAddress();
  await showApp(app, store);
}
const record = async (store: BenchStore, number: string) => (await store.load(`break-${number}`))!.record;
const burst = () =>
  photographed("B-1", { confirmed: "central_burst", context: { machine: "RB-1", notes: "cuppy again" } });
const void_ = () => photographed("B-2", { confirmed: "casting_void", context: { machine: "RB-2" } });

/** Everything the page says or keeps for those who cannot see it. */
const everything = (): string => {
  const names = [...document.querySelectorAll("#screen *")].flatMap((el) =>
    [...el.attributes].filter(({ name }) => /^(aria-|title|alt)/.test(name)).map(({ value }) => value),
  );
  const options = [...document.querySelectorAll("option")].map((o) => o.textContent);
  const shown = (document.querySelector("#screen") as HTMLElement).innerText;
  // The list of types to choose from names every type and so none.
  return [
    shown
      .split("\n")
      .filter((line) => !options.includes(line))
      .join("\n"),
    ...names,
  ]
    .join("\n")
    .toLowerCase();
};

describe("the queue", () => {
  test("asks for a name first", async () => {
    const at = await bench([await burst()], "");
    await show(at);
    await expect.element(page.getByLabelText("Who reads? Name or code")).toBeVisible();
    await page.getByRole("button", { name: /Go on/ }).click();
    await expect.element(page.getByRole("alert")).toHaveTextContent("Type a name");
    await page.getByLabelText("Who reads? Name or code").fill("B. Kern");
    await userEvent.keyboard("{Enter}");
    await expect.element(page.getByText("1 break waits for you.")).toBeVisible();
    expect(at.app.preferences.reader).toBe("B. Kern");
  });

  test("serves nobody what they judged or read, whatever the case of the name, and says how many", async () => {
    const own = await photographed("B-3", { confirmed: "fatigue" });
    const breaks = [own, readBy(await burst(), " a.READER", "torsion"), await photographed("B-4")];
    await show(await bench(breaks, "a. reader"));
    await expect.element(page.getByText("No break waits for you.")).toBeVisible();
    const left = page.getByRole("list", { name: "Not served to you" });
    await expect.element(left).toHaveTextContent("2 breaks you have judged yourself");
    await expect.element(left).toHaveTextContent("1 break that nobody has judged yet");
    await page.getByRole("checkbox", { name: /nobody has judged yet/ }).click();
    // Marked by A. Reader, which the summary does not tell: found when the round is drawn.
    await page.getByRole("button", { name: /^Read 1 break/ }).click();
    await expect.element(page.getByText("No break of these waits for you.")).toBeVisible();
  });

  test("neither the queue nor a blind break says a type, a mark, a reason, a note or the word confirmed", async () => {
    await show(await bench([await burst(), await void_()]));
    const silent = () => {
      const text = everything();
      expect(text).toMatch(/b-[12]|second reading/);
      for (const id of BREAK_TYPE_IDS) {
        expect(text).not.toContain(id);
        expect(text).not.toContain(TYPE_NAMES[id]);
      }
      for (const word of ["confirmed", "a. reader", "seen on both ends", "cuppy", "dimpled", "suggest", ".png"])
        expect(text).not.toContain(word);
    };
    await expect.element(page.getByText("2 breaks wait for you.")).toBeVisible();
    silent();
    await userEvent.keyboard("{Enter}");
    await expect.element(page.getByRole("region", { name: "Your reading" })).toBeVisible();
    await expect.poll(() => page.getByRole("application").elements().length).toBe(2);
    await expect.element(page.getByText("Nothing marked on this end yet.").first()).toBeVisible();
    silent();
    await userEvent.keyboard("f");
    await expect.element(page.getByRole("dialog")).toBeVisible();
    silent();
    await userEvent.keyboard("{Escape}");
    await userEvent.keyboard("q");
    await expect.element(page.getByRole("table")).toBeVisible();
    silent();
  });

  test("narrows to a machine and as many as wanted", async () => {
    await show(
      await bench([
        await burst(),
        await void_(),
        await photographed("B-5", { confirmed: "torsion", context: { machine: "RB-2" } }),
      ]),
    );
    await page.getByLabelText("Machine").selectOptions("RB-2");
    await expect.element(page.getByText("2 breaks wait for you.")).toBeVisible();
    await page.getByLabelText(/How many/).fill("1");
    await page.getByRole("button", { name: /^Read 1 break,/ }).click();
    await expect.element(page.getByText("0 of 1 read")).toBeVisible();
    await expect.poll(() => location.hash).toMatch(/#\/second\/break-B-[25]/);
  });

  test("a break of one's own is refused in words", async () => {
    await show(await bench([await burst()], "A. reader"), "#/second/break-B-1");
    await expect.element(page.getByRole("heading", { name: /B-1 is not served to A. reader/ })).toBeVisible();
    await expect.element(page.getByText(/stated the type of this break yourself/)).toBeVisible();
  });
});

/** States a mark that is absent, by keyboard. */
async function stateAbsent(letter: string) {
  await userEvent.keyboard("x");
  await expect.element(page.getByRole("dialog")).toBeVisible();
  await userEvent.keyboard(letter);
  await expect.poll(() => document.querySelector("dialog[open]")).toBeNull();
}
const begun = async () => {
  await expect.element(page.getByRole("region", { name: "Your reading" })).toBeVisible();
  await expect.poll(() => page.getByRole("application").elements().length).toBe(2);
};

describe("reading one break", () => {
  test("own marks, a type and a note become one reading on the record; nothing else changes", async () => {
    const at = await bench([await burst()]);
    const before = await record(at.store, "B-1");
    await show(at, "#/second/break-B-1");
    await begun();
    await stateAbsent("n");
    await stateAbsent("c");
    await userEvent.keyboard("{Control>}z{/Control}");
    await expect.element(page.getByText("Machine end: 1 mark")).toBeVisible();
    await userEvent.keyboard("c");
    await expect.element(page.getByLabelText(/Break type, as you see it/)).toHaveFocus();
    await page.getByLabelText(/Break type, as you see it/).selectOptions("casting_void");
    await page.getByLabelText(/What it rests on/).fill("hole at both ends");
    await userEvent.keyboard("{Control>}{Enter}{/Control}");
    await expect.element(page.getByRole("heading", { name: "Your reading of B-1 is on the disk." })).toBeVisible();
    const after = await record(at.store, "B-1");
    expect(after.readings).toHaveLength(1);
    expect(after.readings![0]).toMatchObject({
      type: "casting_void",
      note: "hole at both ends",
      by: "B. Kern",
      beside: "c-B-1",
      revision: before.revision,
      marks: { machine: [{ feature: "neck", state: "absent", by: "B. Kern" }], takeUp: [] },
    });
    expect({ ...after, readings: undefined, revision: 0, updatedAt: "" }).toEqual({
      ...before,
      readings: undefined,
      revision: 0,
      updatedAt: "",
    });
    const { log } = (await at.store.load("break-B-1"))!;
    expect(log.map(({ edit, origin, inverse }) => [edit.kind, origin, inverse])).toEqual([
      ["add-reading", "confirmation", null],
    ]);
    // The draft is gone, and the break is not served again.
    await expect.poll(() => at.store.getSetting("second-reading/break-B-1/b.kern")).toBeUndefined();
    expect(await at.store.getSetting("second-reading/break-B-1/b.kern/0")).toBeUndefined();
    expect(at.app.summaries[0]?.readings).toEqual([{ by: "B. Kern", type: "casting_void" }]);
    expect(at.app.summaries[0]?.suggested).toBe("central_burst");
  });

  test("what was begun is there again after the tab was killed, with undo", async () => {
    const at = await bench([await burst()]);
    await show(at, "#/second/break-B-1");
    await begun();
    await stateAbsent("n");
    await stateAbsent("h");
    await page.getByLabelText(/What it rests on/).fill("to be looked at again");
    await expect
      .poll(() => at.store.getSetting("second-reading/break-B-1/b.kern"))
      .toMatchObject({ note: "to be looked at again" });
    // Leaves the screen without finishing; a fresh one reads the disk alone.
    location.hash = "#/log";
    await expect.poll(() => document.querySelector("section[aria-label='Your reading']")).toBeNull();
    location.hash = "#/second/break-B-1";
    await begun();
    await expect.element(page.getByText("Machine end: 2 marks")).toBeVisible();
    await expect.element(page.getByLabelText(/What it rests on/)).toHaveValue("to be looked at again");
    await userEvent.keyboard("{Control>}z{/Control}");
    await expect.element(page.getByText("Machine end: 1 mark")).toBeVisible();
    expect((await record(at.store, "B-1")).readings).toBeUndefined();
  });

  test("lacking a type, or any mark, is said before anything is written", async () => {
    const at = await bench([await burst()]);
    await show(at, "#/second/break-B-1");
    await begun();
    await userEvent.keyboard("{Control>}{Enter}{/Control}");
    await expect.element(page.getByRole("alert")).toHaveTextContent("State the break type");
    await page.getByLabelText(/Break type, as you see it/).selectOptions("undetermined");
    await userEvent.keyboard("{Control>}{Enter}{/Control}");
    await expect.element(page.getByRole("alert")).toHaveTextContent("Nothing is marked on either end.");
    expect((await record(at.store, "B-1")).readings).toBeUndefined();
    await userEvent.keyboard("{Control>}{Enter}{/Control}");
    await expect.element(page.getByRole("heading", { name: /is on the disk/ })).toBeVisible();
    expect((await record(at.store, "B-1")).readings![0]?.type).toBe("undetermined");
  });

  test("a record that changed meanwhile takes the reading all the same; a full disk keeps it until it is tried again", async () => {
    const at = await bench([await burst()]);
    await show(at, "#/second/break-B-1");
    await begun();
    await stateAbsent("n");
    await page.getByLabelText(/Break type, as you see it/).selectOptions("torsion");
    const commit = at.store.commit.bind(at.store);
    let times = 0;
    at.store.commit = async (wanted) => {
      times++;
      if (times === 1) throw new StoreError("disk-full", "The disk is full.", "Make room, then try again.");
      if (times === 2) throw new StoreError("conflict", "changed", "reload");
      return commit(wanted);
    };
    await userEvent.keyboard("{Escape}");
    await userEvent.keyboard("{Control>}{Enter}{/Control}");
    await expect.element(page.getByText("The disk is full.")).toBeVisible();
    await userEvent.keyboard("{Control>}{Enter}{/Control}");
    await expect.element(page.getByRole("heading", { name: /is on the disk/ })).toBeVisible();
    expect(times).toBe(3);
    expect((await record(at.store, "B-1")).readings).toHaveLength(1);
  });

  test("Y puts it back: the other one comes, and the one put back is begun and comes last", async () => {
    const at = await bench([await burst(), await void_()]);
    await show(at);
    await expect.element(page.getByText("2 breaks wait for you.")).toBeVisible();
    await userEvent.keyboard("{Enter}");
    await begun();
    const first = location.hash;
    await stateAbsent("n");
    await userEvent.keyboard("y");
    await expect.poll(() => location.hash).not.toBe(first);
    await begun();
    await userEvent.keyboard("q");
    await expect.element(page.getByRole("row").nth(2)).toHaveTextContent("begun, not finished");
  });

  test("the keys of filing, facts and proposals do nothing to the break", async () => {
    const at = await bench([await burst()]);
    const before = await record(at.store, "B-1");
    await show(at, "#/second/break-B-1");
    await begun();
    for (const key of ["s", "n", "o", "k", "b", "e", "i", "a", "u", "p", "t", "w", "{Control>}{Alt>}x{/Alt}{/Control}"])
      await userEvent.keyboard(key);
    await expect.poll(() => document.querySelector("dialog[open]")).toBeNull();
    expect(location.hash).toBe("#/second/break-B-1");
    expect(await record(at.store, "B-1")).toEqual(before);
    await expect.element(page.getByRole("button", { name: "Other end" })).not.toBeInTheDocument();
  });

  test("a break that is not here is said to be missing", async () => {
    await show(await bench([]), "#/second/break-B-9");
    await expect.element(page.getByRole("heading", { name: "This break is not on this bench." })).toBeVisible();
  });

  test("a break without a photograph is not served", async () => {
    const { app, store } = await openApp();
    await store.commit({ entries: [], records: [aBreak("B-7", { confirmed: "torsion" })] });
    await store.setSetting("preferences", { reader: "B" });
    await show({ app, store }, "#/second/break-B-7");
    await expect.element(page.getByText(/No photograph of this break is on this bench/)).toBeVisible();
  });
});
