import { execFileSync } from "node:child_process";
import { mkdtempSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { expect, test, type Page } from "@playwright/test";
import { axeClean } from "./axe-clean.ts";
import { openDemoMill, tabTo, watch } from "./bench-hands.ts";

const ROOT = new URL("../../", import.meta.url).pathname;

/** Confirms a break by keyboard, as the type the demo mill invented it for. */
async function confirm(page: Page, number: string, type: string): Promise<void> {
  await page.goto("./#/log");
  await page.getByText(number, { exact: true }).click();
  if (!page.url().includes("#/bench/")) await page.keyboard.press("Enter");
  await expect(page.getByRole("application").first()).toBeVisible();
  await page.keyboard.press("c");
  const dialog = page.getByRole("dialog");
  await expect(dialog).toBeVisible();
  await dialog.getByRole("combobox").first().selectOption(type);
  await dialog.getByRole("checkbox", { name: /both ends under the microscope/ }).check();
  await dialog.getByLabel(/Confirmed by/).fill("L. Lead");
  await dialog.getByRole("button", { name: /^Confirm/ }).click();
  await expect(dialog).toHaveCount(0);
}

test("a set is frozen, written and checked by keyboard, and the command finds no fault in it either", async ({
  page,
}) => {
  test.setTimeout(300_000);
  const seen = watch(page);
  // Without a dialog for saving, the file goes to the downloads, where it can be looked at.
  await page.addInitScript(() => Reflect.deleteProperty(window, "showSaveFilePicker"));
  await openDemoMill(page);
  await confirm(page, "D-003", "central_burst");
  await confirm(page, "D-001", "tensile_overload");

  await page.keyboard.press("Alt+r");
  await expect(page.getByText("2 breaks", { exact: true })).toBeVisible();
  await axeClean(page, "the set");

  await page.keyboard.press("2");
  await tabTo(page, "Freeze version 1.0.0");
  await page.keyboard.press("Enter");
  await expect(page.getByText("Since 1.0.0: Nothing changed.")).toBeVisible({ timeout: 30_000 });
  await axeClean(page, "versions");

  await page.keyboard.press("3");
  await tabTo(page, "Laboratory that gives it away");
  await page.keyboard.type("Hollowmoor Wire (invented)");
  await page.keyboard.press("Tab");
  await tabTo(page, "Write version 1.0.0");
  const [download] = await Promise.all([page.waitForEvent("download"), page.keyboard.press("Enter")]);
  expect(download.suggestedFilename()).toBe("wire-breaks-1.0.0.zip");
  const file = join(mkdtempSync(join(tmpdir(), "endpair-set-")), "set.zip");
  await download.saveAs(file);
  await expect(page.getByText("wire-breaks-1.0.0.zip is written:")).toBeVisible();
  await axeClean(page, "a file written");

  await page.keyboard.press("Escape");
  await page.keyboard.press("4");
  await page.getByLabel("Set file").setInputFiles(file);
  await expect(page.getByText("set.zip: no fault was found")).toBeVisible({ timeout: 60_000 });
  await expect(page.getByText(/could not be loaded/)).toHaveCount(0);
  await axeClean(page, "a file checked");
  expect(seen.wrong).toEqual([]);
  expect(seen.elsewhere).toEqual([]);

  const said = execFileSync("npm", ["run", "-s", "check-set", "--", file], { cwd: ROOT, encoding: "utf8" });
  expect(JSON.parse(said)).toMatchObject({ faults: 0, list: [] });
});
