import { describe, expect, test } from "vitest";
import { page, userEvent } from "vitest/browser";
import type { BreakTypeId } from "../../model/evidence/break-type-ids.ts";
import { BREAK_TYPE_IDS } from "../../model/evidence/break-type-ids.ts";
import { suggest } from "../../model/evidence/suggest.ts";
import { observe } from "../../model/measure/observe.ts";
import { unansweredAgainst } from "../../model/reference/answers.ts";
import { DEFAULT_LADDER } from "../../model/reference/ladder.ts";
import type { App } from "../../web/shell/app.svelte.ts";
import { typeName } from "../../web/bench/words.ts";
import { fileLabBreaks, labBreaks } from "./lab-breaks.ts";
import { openApp, showApp } from "./log-app.ts";

async function showBreak(type: BreakTypeId = "torsion", before?: (app: App) => Promise<void>) {
  const { app, store } = await openApp();
  const [one] = labBreaks([type], 1, 77, true);
  await fileLabBreaks(store, [one!], { open: true });
  await app.attach(store);
  await before?.(app);
  app.place = { screen: "bench", breakId: one!.record.id };
  await showApp(app, store);
  await expect.element(page.getByRole("region", { name: "Evidence" })).toBeVisible();
  await userEvent.keyboard("c");
  await expect.element(page.getByRole("dialog", { name: /^Confirm/ })).toBeVisible();
  const lines = async () => (await app.bench.load(one!.record.id))!.record.confirmations;
  return { app, record: one!.record, lines };
}
const dialog = () => page.getByRole("dialog");
const press = (name: string | RegExp) =>
  dialog()
    .getByRole("button", { name, exact: typeof name === "string" })
    .click();
const wrong = () => dialog().getByRole("alert");
const ladder = () => dialog().getByRole("list", { name: /Levels of confirmation/ });

describe("confirming a break", () => {
  test("evidence against the type wants an answer in words, kept with the line", async () => {
    const { lines, record } = await showBreak();
    const suggestion = suggest(observe(record));
    const type = BREAK_TYPE_IDS.find((id) => unansweredAgainst({ type: id }, suggestion).length > 0)!;
    const against = unansweredAgainst({ type }, suggestion);
    await page.getByLabelText("Break type").selectOptions(type);
    await page.getByLabelText("both ends under the microscope").click();
    await page.getByLabelText("Confirmed by").fill("Reader 7");
    await page.getByLabelText(/^Reason/).fill("the section says otherwise");
    await press("Confirm");
    await expect.element(wrong()).toHaveTextContent(against[0]!.says);
    await dialog().getByLabelText(against[0]!.says).fill("no");
    await press("Confirm");
    await expect.element(wrong()).toBeVisible();
    expect(await lines()).toEqual([]);
    await dialog().getByLabelText(against[0]!.says).fill("a scratch from clamping it");
    await press("Confirm");
    await expect.element(dialog()).not.toBeInTheDocument();
    await expect.poll(async () => (await lines()).length).toBe(1);
    const [line] = await lines();
    expect(line).toMatchObject({ kind: "confirmed", type, by: "Reader 7", level: "both-ends" });
    expect(line?.kind === "confirmed" && line.answers).toEqual([
      { rule: against[0]!.rule, words: "a scratch from clamping it" },
    ]);
    await userEvent.keyboard("c");
    await expect.element(dialog().getByText("a scratch from clamping it")).toBeVisible();
  });

  test("says which level it comes to; evidence added later takes it further, and nothing is overwritten", async () => {
    const { lines } = await showBreak();
    await page.getByLabelText("Break type").selectOptions("torsion");
    await expect.element(ladder().getByText(/both ends seen not reached/)).toBeVisible();
    await page.getByLabelText("both ends under the microscope").click();
    await expect.element(ladder().getByText(/both ends seen reached/)).toBeVisible();
    await expect
      .element(ladder().getByText("Confirm it by a longitudinal section or a transverse section."))
      .toBeVisible();
    await page.getByLabelText("Confirmed by").fill("Reader 7");
    await press("Confirm");
    await expect.poll(async () => (await lines()).length).toBe(1);
    await userEvent.keyboard("c");
    await press("Add evidence");
    await page.getByLabelText("longitudinal section").click();
    await expect.element(ladder().getByText(/plus section reached/)).toBeVisible();
    await press("Add to the confirmation");
    await expect
      .poll(async () => (await lines()).map((l) => l.kind === "confirmed" && l.level))
      .toEqual(["both-ends", "section"]);
    await userEvent.keyboard("c");
    await press("Re-open it");
    await press(/^Re-open/);
    await expect.element(wrong()).toHaveTextContent("Say who re-opens");
    await page.getByLabelText("Why re-open it").fill("the section was of another wire");
    await press(/^Re-open/);
    await expect
      .poll(async () => (await lines()).map(({ kind }) => kind))
      .toEqual(["confirmed", "confirmed", "reopened"]);
    await expect.element(page.getByLabelText("Break type")).toBeVisible();
  });

  test("a lab that asks for more confirms nothing with less", async () => {
    const { lines } = await showBreak("torsion", (app) => app.setLadder({ ...DEFAULT_LADDER, least: "section" }));
    await page.getByLabelText("Break type").selectOptions("torsion");
    await page.getByLabelText("both ends under the microscope").click();
    await page.getByLabelText("Confirmed by").fill("Reader 7");
    await press("Confirm");
    await expect.element(wrong()).toHaveTextContent("Confirm it by a longitudinal section or a transverse section.");
    expect(await lines()).toEqual([]);
    await page.getByLabelText("transverse section").click();
    await press("Confirm");
    await expect.poll(async () => (await lines()).length).toBe(1);
  });

  test("a type the evidence does not suggest wants a reason", async () => {
    const { record } = await showBreak();
    const suggestion = suggest(observe(record));
    const other = BREAK_TYPE_IDS.find(
      (id) => id !== suggestion.verdict && suggestion.against.every(({ type }) => type !== id),
    );
    await page.getByLabelText("Break type").selectOptions(typeName(other ?? "undetermined"));
    await page.getByLabelText("both ends under the microscope").click();
    await page.getByLabelText("Confirmed by").fill("Reader 7");
    await press("Confirm");
    await expect.element(wrong()).toHaveTextContent("give the reason in words");
  });
});

describe("the lab's own levels", () => {
  async function showLevels() {
    const { app, store } = await openApp();
    app.place = { screen: "settings" };
    await showApp(app, store);
    await expect.element(page.getByRole("heading", { name: "Levels of confirmation" })).toBeVisible();
    return app;
  }
  const level = (n: number) => page.getByRole("group", { name: `Level ${n}` });

  test("a level is added, named, given its evidence, put lower, and kept on the disk", async () => {
    const app = await showLevels();
    await page.getByRole("button", { name: "Add a level on top" }).click();
    await page.getByRole("button", { name: "Keep these levels" }).click();
    await expect.element(page.getByRole("alert")).toHaveTextContent("Give every level a name.");
    await level(4).getByLabelText("Name").fill("seen by two");
    await level(4)
      .getByLabelText(/a second reader came to the same type/)
      .click();
    await level(4).getByRole("button", { name: "Ask for another means" }).click();
    await page.getByRole("button", { name: "Keep these levels" }).click();
    await expect.element(page.getByRole("alert")).toHaveTextContent("Choose at least one means in each group.");
    await level(4).getByLabelText("hardness").click();
    await page.getByRole("button", { name: "Put seen by two lower" }).click();
    await page.getByLabelText("A break may be confirmed from this level on").selectOptions("both ends seen");
    await page.getByRole("button", { name: "Keep these levels" }).click();
    await expect
      .poll(() => app.ladder.levels.map(({ name }) => name))
      .toEqual(["both ends seen", "plus section", "seen by two", "plus SEM/EDS or test"]);
    expect(await app.bench.getSetting("ladder")).toEqual(app.ladder);
    expect(app.ladder.levels[2]).toMatchObject({ secondReader: true, means: [["hardness"]] });
    expect(app.ladder.least).toBe("both-ends");
  });

  test("taking the least level off asks for no level any more; going back changes nothing", async () => {
    const app = await showLevels();
    await app.setLadder({ ...DEFAULT_LADDER, least: "section" });
    await page.getByRole("button", { name: "The levels a new bench begins with" }).click();
    await page.getByRole("button", { name: "Take plus section off" }).click();
    await expect.element(page.getByRole("group", { name: "Level 3" })).not.toBeInTheDocument();
    await page.getByRole("button", { name: "Back to what was" }).click();
    await expect.element(level(3)).toBeVisible();
    expect(app.ladder.least).toBe("section");
  });
});
