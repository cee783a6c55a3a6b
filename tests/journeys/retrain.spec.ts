import { writeFile } from "node:fs/promises";
import { expect, test } from "@playwright/test";
import { suggest } from "../../model/evidence/suggest.ts";
import { observe } from "../../model/measure/observe.ts";
import { breakFile } from "../../web/storage/bench-file-format.ts";
import { writeBench } from "../../scripts/reference-set/write-bench.ts";
import { confirmed, labBreaks } from "../screens/lab-breaks.ts";
import { tabTo, watch } from "./bench-hands.ts";

test("a lab's confirmed breaks are learnt from, judged and adopted by keyboard alone", async ({ page }, info) => {
  test.setTimeout(180_000);
  const seen = watch(page);
  const records = labBreaks(["central_burst", "torsion", "fatigue"], 12, 3).map(confirmed);
  const files = records.map((record) => breakFile(record, [], suggest(observe(record)).verdict));
  const bench = await writeBench(files, () => Promise.resolve(null), "2026-03-10T08:00:00Z");
  const path = info.outputPath("lab.endpair.zip");
  await writeFile(path, new Uint8Array(await bench.arrayBuffer()));

  await page.goto("./");
  await expect(page.getByRole("button", { name: "Open a bench file…" })).toBeEnabled();
  // The list comes and goes while the bench is read, and takes the focus along; so the way is walked until it leads there.
  await expect(async () => {
    await tabTo(page, "Open a bench file");
    const chooser = page.waitForEvent("filechooser", { timeout: 5000 });
    await page.keyboard.press("Enter");
    await (await chooser).setFiles(path);
  }).toPass({ timeout: 60_000 });
  await expect(page.getByText(/36 breaks/).first()).toBeVisible({ timeout: 60_000 });
  await page.keyboard.press("Alt+m");
  await expect(page.getByRole("heading", { name: "What this bench has learnt" })).toBeVisible();
  await expect(page.getByRole("button", { name: /Learn from 36 confirmed breaks/ })).toBeEnabled({ timeout: 30_000 });
  await page.keyboard.press("l");
  await expect(page.getByRole("button", { name: /^Adopt/ })).toBeVisible({ timeout: 120_000 });
  await page.keyboard.press("a");
  const inUse = page
    .getByRole("region", { name: "Models of this bench" })
    .getByRole("listitem")
    .filter({ hasText: /learnt here.*in use/s });
  await expect(inUse).toBeVisible({ timeout: 30_000 });
  // The choice is on the disk: it is there after another start.
  await page.reload();
  await expect(inUse).toBeVisible({ timeout: 30_000 });
  await expect(page.getByText(/36 confirmed breaks of this lab/).first()).toBeVisible();
  expect(seen.wrong).toEqual([]);
  expect(seen.elsewhere).toEqual([]);
});
