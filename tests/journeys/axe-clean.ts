import { AxeBuilder } from "@axe-core/playwright";
import { expect, type Page } from "@playwright/test";

/**
 * What stands on the page breaks no rule, in the light theme; in the dark one, where nothing but colours differs, no
 * rule about colours.
 *
 * @param within – selector of the part looked at; the whole page when left out.
 */
export async function axeClean(page: Page, what: string, within = "html"): Promise<void> {
  await page.emulateMedia({ colorScheme: "light", reducedMotion: "reduce" });
  expect(await faults(new AxeBuilder({ page }).include(within), `${what}, light`)).toEqual([]);
  await page.emulateMedia({ colorScheme: "dark", reducedMotion: "reduce" });
  expect(
    await faults(
      new AxeBuilder({ page }).include(within).withRules(["color-contrast", "link-in-text-block"]),
      `${what}, dark`,
    ),
  ).toEqual([]);
}

async function faults(axe: AxeBuilder, what: string): Promise<readonly string[]> {
  const { violations } = await axe.analyze();
  return violations.map(
    (v) =>
      `${what}: ${v.id} (${v.nodes.length}) ${v.nodes[0]?.html.slice(0, 160) ?? ""} ${v.nodes[0]?.failureSummary ?? ""}`,
  );
}
