import { expect, test, type Page } from "@playwright/test";
import { axeClean } from "./axe-clean.ts";
import { openDemoMill } from "./bench-hands.ts";

test("axe finds nothing on the log, the bench and its panels, the sheet", async ({ page }) => {
  test.setTimeout(300_000);
  await page.goto("./");
  await expect(page.getByRole("button", { name: /demo mill/i })).toBeVisible();
  await axeClean(page, "empty log");
  await openDemoMill(page);
  await expect(page.getByText(/demo breaks opened/i)).toHaveCount(0, { timeout: 15_000 });
  await axeClean(page, "log");
  await page.keyboard.press("ArrowDown");
  await page.keyboard.press("Enter");
  await expect(page).toHaveURL(/#\/bench\//);
  await expect(page.getByRole("application").first()).toBeVisible();
  await page.keyboard.press(".");
  await axeClean(page, "bench with a mark selected");
  for (const [key, what] of [
    ["m", "palette"],
    ["f", "facts"],
    ["s", "scale"],
    ["c", "confirm"],
    ["b", "both faces"],
    ["?", "keys"],
  ] as const) {
    await page.keyboard.press("Escape");
    await page.keyboard.press(key);
    await expect(page.getByRole("dialog")).toBeVisible();
    await axeClean(page, what, "dialog");
    await page.keyboard.press("Escape");
    await expect(page.getByRole("dialog")).toHaveCount(0);
  }
  await page.goto(page.url().replace("#/bench/", "#/sheet/"));
  await expect(page.locator("[data-ready=true]")).toBeVisible({ timeout: 30_000 });
  await axeClean(page, "sheet");
});

test("axe finds nothing on the route, beside earlier breaks and on the other screens", async ({ page }) => {
  test.setTimeout(300_000);
  await openDemoMill(page);
  for (const place of ["intake", "types/central_burst", "improve", "settings"]) {
    await page.goto(`./#/${place}`);
    await expect(page.getByRole("heading", { level: 1 }).first()).toBeVisible();
    await axeClean(page, place);
  }
  await openBreak(page, "D-001");
  const first = page.url();
  await page.goto(first.replace("#/bench/", "#/route/"));
  await expect(page.getByRole("heading", { level: 1 }).first()).toBeVisible();
  await axeClean(page, "route without one");
  await page.goto(first.replace("#/bench/", "#/compare/"));
  await expect(page.getByRole("heading", { name: "No confirmed break yet" })).toBeVisible();
  await axeClean(page, "beside earlier breaks, none confirmed");
  await openBreak(page, "D-003");
  await confirmIt(page);
  await page.keyboard.press("t");
  await expect(page.getByRole("img", { name: /reduction/i }).first()).toBeVisible();
  await axeClean(page, "route with chart");
  await page.goto(first.replace("#/bench/", "#/compare/"));
  await expect(page.getByRole("heading", { name: "How D-003 was confirmed" })).toBeVisible({ timeout: 60_000 });
  await axeClean(page, "beside earlier breaks");
});

async function openBreak(page: Page, number: string): Promise<void> {
  await page.goto("./#/log");
  await page.getByText(number, { exact: true }).click();
  if (!page.url().includes("#/bench/")) await page.keyboard.press("Enter");
  await expect(page).toHaveURL(/#\/bench\//);
  await expect(page.getByRole("application").first()).toBeVisible();
}

async function confirmIt(page: Page): Promise<void> {
  await page.keyboard.press("c");
  const dialog = page.getByRole("dialog");
  await dialog.getByRole("combobox").first().selectOption("central_burst");
  await dialog.getByRole("checkbox").first().check();
  await dialog.getByLabel(/Confirmed by/).fill("A. Reader");
  await dialog.getByRole("button", { name: /^Confirm/ }).click();
  await expect(dialog).toHaveCount(0);
}
