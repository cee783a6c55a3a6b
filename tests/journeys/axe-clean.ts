import { expect, type Page } from "@playwright/test";
import axe from "axe-core";

const COLOURS = ["color-contrast", "link-in-text-block"];

/**
 * What stands on the page breaks no rule, in the light theme; in the dark one, where nothing but colours differs, no
 * rule about colours.
 *
 * @param within – selector of the part looked at; the whole page when left out.
 */
export async function axeClean(page: Page, what: string, within = "html"): Promise<void> {
  if (!(await page.evaluate(() => "axe" in globalThis))) await page.evaluate(axe.source);
  for (const colorScheme of ["light", "dark"] as const) {
    await page.emulateMedia({ colorScheme, reducedMotion: "reduce" });
    const options: axe.RunOptions = {
      resultTypes: ["violations"],
      ...(colorScheme === "light" ? {} : { runOnly: { type: "rule", values: COLOURS } }),
    };
    expect(await faults(page, within, options), `${what}, ${colorScheme}`).toEqual([]);
  }
}

async function faults(page: Page, within: string, options: axe.RunOptions): Promise<readonly string[]> {
  const { violations } = await page.evaluate(
    ([selector, how]) => (globalThis as unknown as { axe: typeof axe }).axe.run(selector, how),
    [within, options] as const,
  );
  return violations.map(
    (v) => `${v.id} (${v.nodes.length}) ${v.nodes[0]?.html.slice(0, 160) ?? ""} ${v.nodes[0]?.failureSummary ?? ""}`,
  );
}
