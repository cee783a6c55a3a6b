import { expect, test, type Page } from "@playwright/test";
import { chromiumLaunch } from "../chromium.ts";
import { axeClean } from "./axe-clean.ts";
import { savedRevision, tabTo, watch } from "./bench-hands.ts";

// Chromium's own made-up camera: a moving picture with known sizes, allowed without a question.
const { args, ...launch } = chromiumLaunch();
test.use({
  launchOptions: {
    ...launch,
    args: [...args, "--use-fake-device-for-media-stream", "--use-fake-ui-for-media-stream"],
  },
});

const prompt = (page: Page, words: string | RegExp) =>
  expect(page.locator(".prompt .large")).toHaveText(words, { timeout: 20_000 });

async function takeOne(page: Page, words: string, next: string | RegExp): Promise<void> {
  await prompt(page, words);
  await page.keyboard.press("Space");
  await prompt(page, `Frozen: ${words}`);
  await page.keyboard.press("Enter");
  await prompt(page, next);
}

test("both ends of a new break photographed by camera with the keyboard alone", async ({ page }) => {
  const seen = watch(page);
  await page.goto("./");
  await expect(page.getByRole("button", { name: /demo mill/i })).toBeVisible();
  await page.keyboard.press("k");
  await expect(page).toHaveURL(/#\/camera\/new$/);
  await prompt(page, "Machine end, end-on");
  await expect(page.getByLabel("Resolution, px")).toBeEnabled({ timeout: 20_000 });
  await tabTo(page, "Resolution, px");
  await page.keyboard.press("6");
  await expect(page.getByLabel("Resolution, px")).toHaveValue("640 × 480");
  await expect.poll(() => page.evaluate(() => document.querySelector("video")?.videoWidth)).toBe(640);
  await expect(page.getByRole("img", { name: /^Focus \d/ })).toBeVisible({ timeout: 20_000 });
  await expect(page.getByText(/^\d+\.\d %$/)).toBeVisible();
  await axeClean(page, "live camera");
  await page.keyboard.press("Escape");

  // Again throws a frame away; nothing is filed by it.
  await page.keyboard.press("Space");
  await prompt(page, "Frozen: Machine end, end-on");
  await axeClean(page, "frozen frame");
  await page.keyboard.press("Escape");
  await takeOne(page, "Machine end, end-on", "Machine end, side, 0°");
  await expect(page).toHaveURL(/#\/camera\/[0-9a-f-]{36}$/);
  // Skipped and come back to.
  await page.keyboard.press("ArrowRight");
  await prompt(page, "Take-up end, end-on");
  await page.keyboard.press("ArrowLeft");
  await takeOne(page, "Machine end, side, 0°", "Take-up end, end-on");
  await takeOne(page, "Take-up end, end-on", "Take-up end, side, 0°");
  const stream = await page.evaluateHandle(() => document.querySelector("video")?.srcObject as MediaStream);
  await takeOne(page, "Take-up end, side, 0°", /All views are taken/);
  await page.keyboard.press("Enter");

  await expect(page).toHaveURL(/#\/bench\//);
  // The address changes first; the camera is let go of when the bench takes its place.
  await expect.poll(() => stream.evaluate((s) => s.getTracks().map((t) => t.readyState))).toEqual(["ended"]);
  for (const [side, part] of [
    ["machine end", "machine-end"],
    ["take-up end", "take-up-end"],
  ] as const) {
    const views = page.getByRole("group", { name: `Views of the ${side}` }).getByRole("button");
    await expect(views).toHaveText(["end-on", "side, 0°"]);
    await expect(views.first()).toHaveAttribute("title", new RegExp(`^B-0001_${part}_end-on_\\d{8}-\\d{6}\\.png`));
    await expect(views.last()).toHaveAttribute("title", new RegExp(`^B-0001_${part}_side-0_\\d{8}-\\d{6}\\.png`));
  }
  // Four photographs, four commits: all on the disk.
  expect(await savedRevision(page)).toBe(4);
  await page.goto(page.url().replace("#/bench/", "#/sheet/"));
  await expect(page.locator("[data-ready=true]")).toBeVisible({ timeout: 30_000 });
  await expect(page.getByText(/machine end, end-on, 640 × 480 px/)).toBeVisible();
  expect(seen.wrong).toEqual([]);
  expect(seen.elsewhere).toEqual([]);
});

test("an end that was not recovered is said from the camera, and a frame left frozen is not lost", async ({ page }) => {
  await page.goto("./#/camera/new");
  await prompt(page, "Machine end, end-on");
  await expect(page.getByLabel("Resolution, px")).toBeEnabled({ timeout: 20_000 });
  await page.keyboard.press("2");
  await page.keyboard.press("n");
  await expect(page.getByText("not recovered", { exact: true })).toBeVisible();
  await prompt(page, "Machine end, end-on");
  await page.keyboard.press("Space");
  await prompt(page, "Frozen: Machine end, end-on");
  await page.keyboard.press("Alt+l");
  await expect(page.getByText("The frozen frame was not kept.")).toBeVisible();
  await page.keyboard.press("Alt+i");
  await expect(page.locator(".shot")).toHaveCount(1, { timeout: 30_000 });
  await expect(page.locator(".shot")).toContainText("machine-end_end-on");
});
