import { describe, expect, test } from "vitest";
import { page, userEvent } from "vitest/browser";
import type { App } from "../../web/shell/app.svelte.ts";
import { openApp, showApp } from "./log-app.ts";
import { aBreak, manySummaries, storeBreaks } from "./log-breaks.ts";

const grid = () => page.getByRole("grid", { name: "Breaks" });
const rowOf = (number: string) => page.getByRole("row").filter({ hasText: number });
const numbersShown = () =>
  [...document.querySelectorAll('[role="row"][aria-selected]')]
    .sort((a, b) => Number(a.getAttribute("aria-rowindex")) - Number(b.getAttribute("aria-rowindex")))
    .map((row) => row.querySelector(".number")?.textContent);

async function showThree(): Promise<App> {
  const { app, store } = await openApp();
  await storeBreaks(store, [
    aBreak("B-1", {
      context: { metal: "copper", machine: "D4", brokeAt: "2026-02-10T06:00:00" },
      suggested: "central_burst",
      confirmed: "central_burst",
    }),
    aBreak("B-2", { context: { metal: "steel", machine: "D7", brokeAt: "2026-02-12T06:00:00" }, suggested: "torsion" }),
    aBreak("B-3", { context: { metal: "copper", machine: "D4", brokeAt: "2026-02-11T06:00:00" }, lost: "takeUp" }),
  ]);
  await showApp(app, store);
  await expect.element(grid()).toBeVisible();
  return app;
}

describe("the log", () => {
  test("lists the newest first, and says the state of each break in words", async () => {
    await showThree();
    expect(numbersShown()).toEqual(["B-2", "B-3", "B-1"]);
    await expect.element(rowOf("B-1")).toHaveTextContent("confirmed");
    await expect.element(rowOf("B-2")).toHaveTextContent("suggested, open");
    await expect.element(rowOf("B-3")).toHaveTextContent("undecided");
    await expect.element(rowOf("B-3")).toHaveTextContent("not recovered");
  });

  test("is a grid of one tab stop with its rows numbered", async () => {
    await showThree();
    await expect.element(grid()).toHaveAttribute("aria-rowcount", "4");
    await expect.element(rowOf("B-3")).toHaveAttribute("aria-rowindex", "3");
    const stops = document.querySelectorAll('[role="row"][tabindex="0"]');
    expect(stops).toHaveLength(1);
    expect(stops[0]?.textContent).toContain("B-2");
  });

  test("search narrows as one types, Escape brings everything back", async () => {
    await showThree();
    await userEvent.keyboard("/");
    await userEvent.keyboard("metal:copper");
    await expect.element(page.getByRole("status").filter({ hasText: "of 3 breaks" })).toHaveTextContent("2");
    expect(numbersShown()).toEqual(["B-3", "B-1"]);
    await userEvent.keyboard("{Escape}");
    await expect.element(rowOf("B-2")).toBeVisible();
  });

  test("chips filter by state and metal, and say that they are on", async () => {
    await showThree();
    const undecided = page.getByRole("button", { name: /Undecided/ });
    await undecided.click();
    await expect.element(undecided).toHaveAttribute("aria-pressed", "true");
    expect(numbersShown()).toEqual(["B-3"]);
    await undecided.click();
    await page.getByRole("button", { name: /steel/ }).click();
    expect(numbersShown()).toEqual(["B-2"]);
  });

  test("when nothing matches it says so and offers to show all", async () => {
    await showThree();
    await page.getByRole("searchbox").fill("nowhere");
    await expect.element(page.getByText("No break on this bench matches.")).toBeVisible();
    await grid()
      .getByRole("button", { name: /Show all/ })
      .click();
    await expect.element(rowOf("B-1")).toBeVisible();
  });

  test("columns sort both ways and say which way", async () => {
    await showThree();
    const head = page.getByRole("columnheader", { name: "Number" });
    await head.getByRole("button").click();
    await expect.element(head).toHaveAttribute("aria-sort", "ascending");
    expect(numbersShown()).toEqual(["B-1", "B-2", "B-3"]);
    await head.getByRole("button").click();
    await expect.element(head).toHaveAttribute("aria-sort", "descending");
    expect(numbersShown()).toEqual(["B-3", "B-2", "B-1"]);
  });

  test("by keyboard alone: arrows move the focus, Space selects, Enter opens", async () => {
    const app = await showThree();
    await userEvent.keyboard("{ArrowDown}");
    await expect.element(rowOf("B-3")).toHaveFocus();
    await userEvent.keyboard(" ");
    await expect.element(rowOf("B-3")).toHaveAttribute("aria-selected", "true");
    await expect.element(page.getByText("1 break selected.")).toBeVisible();
    await userEvent.keyboard("{End}");
    await expect.element(rowOf("B-1")).toHaveFocus();
    await userEvent.keyboard("{Enter}");
    await expect.poll(() => app.place).toEqual({ screen: "bench", breakId: "break-B-1" });
  });

  test("Delete puts a break into the bin on the disk, and Ctrl+Z takes it out again", async () => {
    const app = await showThree();
    await userEvent.keyboard("{ArrowDown}{Delete}");
    await expect.element(page.getByText("B-3 put into the bin.")).toBeVisible();
    await expect.poll(numbersShown).toEqual(["B-2", "B-1"]);
    expect((await app.bench.load("break-B-3"))?.record.binnedAt).not.toBeNull();
    await userEvent.keyboard("{Control>}z{/Control}");
    await expect.poll(numbersShown).toEqual(["B-2", "B-3", "B-1"]);
    const stored = await app.bench.load("break-B-3");
    expect(stored?.record.binnedAt).toBeNull();
    expect(stored?.log.map((line) => line.origin)).toEqual(["reader", "undo"]);
    expect(stored?.log[1]?.of).toBe(stored?.log[0]?.seq);
  });

  test("the key n makes a break with the next number, on the disk, and opens it", async () => {
    const app = await showThree();
    await userEvent.keyboard("n");
    await expect.poll(() => app.place.screen).toBe("bench");
    expect((await app.bench.summaries()).map((s) => s.number)).toContain("B-4");
  });

  test("search and selection outlive a visit to another screen", async () => {
    const app = await showThree();
    await userEvent.keyboard(" ");
    await page.getByRole("searchbox").fill("copper");
    app.go({ screen: "settings" });
    await expect.element(page.getByRole("button", { name: /Save the selection: B-2/ })).toBeEnabled();
    app.go({ screen: "log" });
    await expect.element(page.getByRole("searchbox")).toHaveValue("copper");
    expect(numbersShown()).toEqual(["B-3", "B-1"]);
  });
});

describe("a log of ten thousand breaks", () => {
  test("draws few rows, and the far end can be reached by one key with the focus on it", async () => {
    const { app, store } = await openApp();
    await app.attach(store);
    await showApp(app, store);
    app.noteSummaries(manySummaries(10_000));
    await expect.element(grid()).toHaveAttribute("aria-rowcount", "10001");
    expect(document.querySelectorAll('[role="row"][aria-selected]').length).toBeLessThan(60);
    await userEvent.keyboard("{End}");
    const last = page.getByRole("row").filter({ hasText: "B-00001" });
    await expect.element(last).toHaveFocus();
    await expect.element(last).toBeInViewport();
    await expect.element(last).toHaveAttribute("aria-rowindex", "10001");
  });

  test("the row in hand keeps the focus while it is scrolled out of view", async () => {
    const { app, store } = await openApp();
    await showApp(app, store);
    app.noteSummaries(manySummaries(2_000));
    await expect.element(grid()).toBeVisible();
    await userEvent.keyboard("{ArrowDown}");
    const inHand = page.getByRole("row").filter({ hasText: "B-01999" });
    await expect.element(inHand).toHaveFocus();
    grid().element().scrollTop = 60_000;
    await expect.element(page.getByRole("row").filter({ hasText: "B-01060" })).toBeInTheDocument();
    await expect.element(inHand).toHaveFocus();
  });
});

describe("an empty bench", () => {
  test("says the next step in one sentence and makes the first break by key", async () => {
    const { app, store } = await openApp();
    await showApp(app, store);
    await expect
      .element(page.getByRole("heading", { name: "Lay the two ends of a break here: bring in their photographs." }))
      .toBeVisible();
    await userEvent.keyboard("n");
    await expect.poll(() => app.place.screen).toBe("bench");
    expect((await app.bench.summaries()).map((s) => s.number)).toEqual(["B-0001"]);
  });
});

describe("old sheets", () => {
  const choose = async (json: unknown) => {
    await page.getByRole("button", { name: "Bring old sheets in…" }).click();
    const file = new File([JSON.stringify(json)], "old.json", { type: "application/json" });
    await userEvent.upload(page.getByLabelText("Observation sheets (.json)"), file);
  };
  const sheet = (id: string, feature: string) => ({
    id,
    metal: "copper",
    wire_mm: 2,
    ends: [{ role: "machine", recovered: true, views: ["end_on"], photos: [], features: [{ feature, measures: {} }] }],
    context: {},
  });

  test("are checked, counted, and brought in at one press; numbers already there are left alone", async () => {
    const app = await showThree();
    await choose([sheet("P-17", "end_hole"), sheet("B-1", "end_hole")]);
    await expect.element(page.getByText(/1 break can be brought in/)).toHaveTextContent("already: B-1");
    await page.getByRole("button", { name: "Bring 1 break in" }).click();
    await expect.element(rowOf("P-17")).toBeVisible();
    const summary = (await app.bench.summaries()).find((s) => s.number === "P-17");
    const stored = await app.bench.load(summary?.id ?? "");
    expect(stored?.record.ends.machine.marks.map((m) => m.feature)).toEqual(["end_hole"]);
    expect(stored?.log.map((line) => line.origin)).toEqual(["import"]);
  });

  test("with one bad field are refused whole, the field named", async () => {
    const app = await showThree();
    await choose([sheet("P-17", "end_hole"), sheet("P-18", "no_such_thing")]);
    await expect.element(page.getByRole("alert")).toHaveTextContent("[1].ends[0].features[0].feature");
    expect(await app.bench.summaries()).toHaveLength(3);
    await expect.element(page.getByRole("button", { name: /Bring .* in$/ })).not.toBeInTheDocument();
  });
});
