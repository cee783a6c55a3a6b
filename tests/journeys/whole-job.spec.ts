import { execFileSync } from "node:child_process";
import { mkdtempSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { expect, test, type Page } from "@playwright/test";
import { drop, markByKeyboard, SAMPLES, savedRevision, tabTo, watch } from "./bench-hands.ts";

const PHOTOGRAPHS = ["D-003_M_end-on.jpg", "D-003_M_side0.jpg", "D-003_T_end-on.jpg", "D-003_T_side0.jpg"].map(
  (name) => `${SAMPLES}D-003/${name}`,
);

/** Fills a labelled field by keyboard; a select takes the first letters of the choice. */
async function fill(page: Page, label: string | RegExp, text: string): Promise<void> {
  await tabTo(page, label);
  await page.keyboard.type(text);
}

test("from dropped photographs to the printed sheet by keyboard alone", async ({ page }) => {
  test.setTimeout(240_000);
  const seen = watch(page);
  await page.goto("./");
  await expect(page.getByRole("button", { name: /demo mill/i })).toBeVisible();

  await drop(page, PHOTOGRAPHS);
  await expect(page.locator(".shot")).toHaveCount(4, { timeout: 60_000 });
  const began = Date.now();
  await page.keyboard.press("Control+Enter");
  await expect(page).toHaveURL(/#\/bench\//);
  await expect(page.getByRole("application")).toHaveCount(2);

  await page.keyboard.press("f");
  await fill(page, "Metal", "copper");
  await fill(page, "Grade", "ETP hard");
  await fill(page, "Nominal diameter", "2.00 mm");
  await fill(page, "RA of the reference pull", "62");
  await fill(page, "Machine", "rod breakdown");
  await fill(page, "Draw direction", "recorded");
  await page.keyboard.press("Escape");
  await expect(page.getByText("draw direction not recorded")).toHaveCount(0);

  // Machine end, from the side: edges, scale from the wire diameter, neck, cone.
  await page.keyboard.press("1");
  await page.keyboard.press("v");
  await markByKeyboard(page, "w", [[37, 479], [1265, 499], [27, 1117], [1255, 1136]], false); // prettier-ignore
  await page.keyboard.press("s");
  await tabTo(page, "Use it");
  await page.keyboard.press("Enter");
  await expect(page.getByRole("dialog")).toHaveCount(0);
  await expect(page.getByText(/px\/mm, wire diameter/).first()).toBeVisible();
  await page.keyboard.press("1");
  await markByKeyboard(page, "n", [[1692, 516], [1682, 1132]], false); // prettier-ignore
  await markByKeyboard(page, "a", [[1984, 829]], false);
  await markByKeyboard(page, "c", [[1712, 559], [1984, 829], [1704, 1090]], false); // prettier-ignore
  await fill(page, "flank texture", "granular");
  await page.keyboard.press("Escape");
  await page.keyboard.press("1");
  await page.keyboard.press("x");
  await page.keyboard.press("f");

  // Take-up end: the hollow end-on, the neck from the side.
  await page.keyboard.press("2");
  const rim = (cx: number, cy: number, r: number) =>
    [0, 60, 120, 180, 240, 300].map((a): [number, number] => [
      Math.round(cx + r * Math.cos((a * Math.PI) / 180)),
      Math.round(cy + r * Math.sin((a * Math.PI) / 180)),
    ]);
  await markByKeyboard(page, "w", rim(1193, 921, 684), true);
  await markByKeyboard(page, "h", rim(1193, 921, 568), true);
  await fill(page, "depth", "0.44");
  await fill(page, "shape", "conical");
  await fill(page, "wall texture", "granular");
  await page.keyboard.press("Escape");
  await page.keyboard.press("2");
  await page.keyboard.press("v");
  await markByKeyboard(page, "w", [[2366, 488], [1164, 498], [2370, 1126], [1169, 1135]], false); // prettier-ignore
  await markByKeyboard(page, "n", [[723, 512], [728, 1128]], false); // prettier-ignore

  const evidence = page.getByRole("region", { name: "Evidence" });
  await expect(evidence).toContainText("Central burst");
  await expect(evidence).toContainText("R02");
  await expect(evidence).toContainText(/this machine, or an even number of reversals/i);

  await page.keyboard.press("Escape");
  await page.keyboard.press("c");
  await fill(page, "Break type", "central");
  await tabTo(page, "both ends under the microscope");
  await page.keyboard.press("Space");
  await fill(page, "Confirmed by", "Reader 7");
  await page.keyboard.press("Enter");
  await expect(page.getByRole("dialog")).toHaveCount(0);
  await savedRevision(page);

  await page.keyboard.press("p");
  await expect(page).toHaveURL(/#\/sheet\//);
  await expect(page.locator("[data-ready=true]")).toBeVisible({ timeout: 30_000 });
  const seconds = (Date.now() - began) / 1000;
  test.info().annotations.push({ type: "seconds from filing to sheet", description: seconds.toFixed(0) });

  const pdf = join(mkdtempSync(join(tmpdir(), "endpair-sheet-")), "sheet.pdf");
  writeFileSync(pdf, await page.pdf({ preferCSSPageSize: true, tagged: true, printBackground: true }));
  const text = execFileSync("pdftotext", ["-layout", pdf, "-"], { encoding: "utf8" }).replace(/\s+/g, " ");
  expect(text).toContain("Confirmed: central burst");
  expect(text).toMatch(/reduction of area .*?\d(\.\d+)? % ± \d/);
  expect(text).toMatch(/flank angle to the axis 4[0-9](\.\d)? ?° ± \d/);
  expect(text).toContain("Evidence for central burst");
  expect(text).toContain("R02");
  expect(text).toContain("Not examined");
  expect(text).toMatch(/lock/i);
  expect(text).toContain("no verdict on fitness for service");
  expect(text).toMatch(/[0-9a-f]{16}/);
  expect(text).toContain("Reader 7");
  expect(text).toMatch(/Page 1 of \d/);
  expect(seen.wrong).toEqual([]);
  expect(seen.elsewhere).toEqual([]);
});
