import { expect, test } from "@playwright/test";
import { axeClean } from "./axe-clean.ts";
import { openDemoMill, watch } from "./bench-hands.ts";

test("a break is read blind by a second person, who differs, and the disagreement is settled with its reason", async ({
  page,
}) => {
  test.setTimeout(180_000);
  const seen = watch(page);
  await openDemoMill(page);

  // The first reader confirms D-005 on the bench.
  await page.getByText("D-005", { exact: true }).click();
  if (!page.url().includes("#/bench/")) await page.keyboard.press("Enter");
  await expect(page.getByRole("application")).toHaveCount(2);
  await page.keyboard.press("c");
  const confirm = page.getByRole("dialog");
  await confirm.getByLabel("Break type").selectOption("casting_void");
  await confirm.getByRole("checkbox", { name: "both ends under the microscope" }).check();
  for (const answer of await confirm.locator("textarea").all()) await answer.fill("seen plainly on both of the ends");
  await confirm.getByLabel("Confirmed by").fill("Ana First");
  await confirm.getByRole("button", { name: /^Confirm$/ }).click();
  await expect(confirm).toHaveCount(0);
  await expect(page.locator("[data-saved=true]")).toBeVisible();

  // She is not served it herself.
  await page.keyboard.press("Alt+y");
  await expect(page.getByText("No break waits for you.")).toBeVisible();
  await expect(page.getByText("1 break you have judged yourself")).toBeVisible();
  await axeClean(page, "queue");

  // Somebody else sits down.
  await page.keyboard.press("Alt+s");
  const name = page.getByRole("textbox", { name: /name/i }).first();
  await name.fill("Ben Second");
  await name.press("Tab");
  await page.keyboard.press("Escape");
  await page.keyboard.press("Alt+y");
  await expect(page.getByText("1 break waits for you.")).toBeVisible();
  await page.keyboard.press("Enter");

  await expect(page.getByRole("region", { name: "Your reading" })).toBeVisible();
  await expect(page.getByRole("application")).toHaveCount(2);
  await expect(page.getByText("Nothing marked on this end yet.")).toHaveCount(2);
  await page.keyboard.press("1");
  // A point, where the cross stands first: the middle of the picture.
  await page.keyboard.press("m");
  await expect(page.getByRole("dialog")).toBeVisible();
  await page.keyboard.press("a");
  await expect(page.locator(".hint")).toBeVisible();
  await page.keyboard.press("Alt+ArrowRight");
  await expect(page.locator(".hint .at")).toBeVisible();
  await page.keyboard.press("Space");
  await expect(page.locator(".hint")).toHaveCount(0);
  await expect(page.getByText("Machine end: 1 mark")).toBeVisible();
  await axeClean(page, "blind reading");
  await page.keyboard.press("Escape");
  await page.keyboard.press("c");
  await page.keyboard.type("central");
  await page.keyboard.press("Control+Enter");
  await expect(page.getByRole("heading", { name: "Your reading of D-005 is on the disk." })).toBeVisible();

  // Only now, and because it is asked for, the first reading.
  await page.keyboard.press("v");
  await expect(page.getByRole("region", { name: "First reading, by Ana First" })).toContainText("Casting void");
  await expect(page.getByRole("region", { name: "Second reading, by Ben Second" })).toContainText("Central burst");
  await page.keyboard.press("c");
  await page.keyboard.press("Space");
  await page.getByLabel(/Reason, in words/).fill("the section shows a void that runs on beyond the break");
  await page.getByRole("checkbox", { name: "longitudinal section" }).check();
  for (const answer of await page.locator(".answers textarea").all())
    await answer.fill("it was looked at again and does not hold");
  await page.getByLabel("Settled by").fill("Cora Lead");
  await axeClean(page, "settling");
  await page.keyboard.press("Control+Enter");
  await expect(page.getByText(/Settled as casting void by Cora Lead/)).toBeVisible();
  await expect(page.locator("[data-saved=true]")).toBeVisible();

  await page.keyboard.press("Escape");
  await page.keyboard.press("q");
  await expect(page.getByText("No disagreement about the type is open")).toBeVisible();
  await expect(page.getByText("0 of 1 called the same (0 %)")).toBeVisible();
  await expect(page.getByText(/Cohen’s kappa: too few breaks: 1 of at least 10/)).toBeVisible();
  await page.getByLabel("Show").selectOption("settled");
  await expect(page.getByRole("row", { name: /D-005/ })).toContainText("the section shows a void that runs on");
  await axeClean(page, "agreement");

  // A killed tab: all of it is on the disk.
  await page.reload();
  await page.getByLabel("Show").selectOption("settled");
  await expect(page.getByRole("row", { name: /D-005/ })).toContainText("settled as casting void by Cora Lead");
  expect(seen.wrong).toEqual([]);
  expect(seen.elsewhere).toEqual([]);
});
