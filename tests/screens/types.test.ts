import { describe, expect, test } from "vitest";
import { page, userEvent } from "vitest/browser";
import { BREAK_TYPE_IDS } from "../../model/evidence/break-type-ids.ts";
import { breakTypePage } from "../../model/evidence/break-types/index.ts";
import { RULES } from "../../model/evidence/rules/index.ts";
import { TYPE_NAMES } from "../../web/bench/words.ts";
import { END_SHAPES } from "../../web/types/end-shapes.ts";
import { neighbour, rulesAbout } from "../../web/types/rule-lines.ts";
import { openApp, showApp } from "./log-app.ts";

async function showType(typeId: string | null) {
  const { app, store } = await openApp();
  app.place = { screen: "types", typeId };
  await showApp(app, store);
  return app;
}
const heading = () => page.getByRole("heading", { level: 1 });

describe("the break-type pages", () => {
  test("list every type, the one on show marked as current", async () => {
    await showType("torsion");
    await expect.element(heading()).toHaveTextContent("Torsion");
    const links = page.getByRole("navigation", { name: "Break types" }).getByRole("link");
    await expect.element(links.first()).toBeVisible();
    expect(links.elements()).toHaveLength(BREAK_TYPE_IDS.length);
    await expect.element(links.filter({ hasText: "Torsion" })).toHaveAttribute("aria-current", "page");
  });

  test("show both ends, what settles a confusion, causes by owner, cautions and sources with their standing", async () => {
    await showType("central_burst");
    const { ends } = breakTypePage("central_burst");
    await expect.element(page.getByRole("img", { name: `Machine end: ${ends[0].short}` })).toBeVisible();
    await expect.element(page.getByRole("img", { name: `Take-up end: ${ends[1].short}` })).toBeVisible();
    const article = page.getByRole("article");
    await expect.element(article).toHaveTextContent("The other end: a cone speaks for a burst, a hole for a void.");
    await expect.element(article).toHaveTextContent("no cause");
    await expect.element(article).toHaveTextContent("Stop, isolate, lock out and tag the drawing machine");
    await expect.element(article).toHaveTextContent("(from memory)");
    await expect.element(article).toHaveTextContent("common practice, no source");
    await expect.element(article.getByText("R02", { exact: true })).toBeInTheDocument();
  });

  test("lead from a confusion to the page of the other type", async () => {
    const app = await showType("central_burst");
    await page.getByRole("article").getByRole("link", { name: TYPE_NAMES.casting_void }).click();
    await expect.element(heading()).toHaveTextContent("Casting void");
    expect(app.place).toEqual({ screen: "types", typeId: "casting_void" });
  });

  test("arrow keys walk through the list, and stop at its ends", async () => {
    await showType(null);
    await expect.element(heading()).toHaveTextContent("Ductile tensile overload");
    await userEvent.keyboard("{ArrowDown}");
    await expect.element(heading()).toHaveTextContent("Central burst");
    await userEvent.keyboard("{ArrowUp}{ArrowUp}");
    await expect.element(heading()).toHaveTextContent("Ductile tensile overload");
    expect(neighbour("overheated", 1)).toBe("overheated");
  });
});

describe("rules about a type", () => {
  test("every rule that names a type stands on its page, the strongest first", () => {
    for (const id of BREAK_TYPE_IDS) {
      const lines = rulesAbout(id);
      const named = RULES.filter((row) => row.types.includes(id) || (row.also ?? []).some((a) => a.type === id));
      expect(new Set(lines.map((l) => l.id))).toEqual(new Set(named.map((row) => row.id)));
      const decisive = lines.findLastIndex((l) => l.strength === "decisive");
      const weak = lines.findIndex((l) => l.strength === "weak");
      if (decisive >= 0 && weak >= 0) expect(decisive).toBeLessThan(weak);
    }
  });

  test("every page has a drawing for each of its ends", () => {
    for (const id of BREAK_TYPE_IDS)
      for (const end of breakTypePage(id).ends) expect(END_SHAPES[end.shape].metal, `${id} ${end.shape}`).toMatch(/^M/);
  });
});
