import { readFileSync } from "node:fs";
import { expect, type FileChooser, type Page, test } from "@playwright/test";
import { axeClean } from "./axe-clean.ts";
import sharp from "sharp";
import { SAMPLES, tabTo, watch } from "./bench-hands.ts";

const PICTURE = `${SAMPLES}D-001/D-001_M_end-on.jpg`;

/** A key pressed while a dialog still closes is the dialog's, so it is pressed until the screen is there. */
async function toExchange(page: Page): Promise<void> {
  await expect(async () => {
    await page.keyboard.press("Alt+x");
    await expect(page.getByRole("heading", { name: "Exchange", exact: true, level: 1 })).toBeVisible({ timeout: 3000 });
  }).toPass({ timeout: 30_000 });
}

/** Saves the whole bench by keyboard; without a dialog for saving, the file goes to the downloads. */
async function savedBench(page: Page): Promise<Buffer> {
  await toExchange(page);
  await page.keyboard.press("1");
  const download = page.waitForEvent("download");
  await tabTo(page, "Save the bench file…");
  await page.keyboard.press("Enter");
  return readFileSync(await (await download).path());
}

/** A dialog that opens before anybody waits for it would be the browser's own; with this it never is. */
const asksByItself = (page: Page): void => void page.on("filechooser", () => undefined);

/** Chooses a file by keyboard; the dialog of the system is the test's own hand. */
async function choose(
  page: Page,
  key: string,
  part: string,
  files: Parameters<FileChooser["setFiles"]>[0],
): Promise<void> {
  await page.keyboard.press(key);
  await expect(page.getByRole("heading", { name: part })).toBeVisible();
  const chooser = page.waitForEvent("filechooser", { timeout: 15_000 });
  await page.keyboard.press("o");
  await (await chooser).setFiles(files);
}

/** Opens a bench file of the other bench by keyboard. */
async function openFile(page: Page, name: string, buffer: Buffer): Promise<void> {
  await toExchange(page);
  await choose(page, "2", "Bring in a set or a bench file", { name, mimeType: "application/zip", buffer });
}

async function setFact(page: Page, label: string, value: string): Promise<void> {
  await page.keyboard.press("f");
  const dialog = page.getByRole("dialog");
  await dialog.getByLabel(label, { exact: true }).fill(value);
  await page.keyboard.press("Tab");
  await page.keyboard.press("Escape");
  await expect(dialog).toHaveCount(0);
  await expect(page.getByText(/on disk/)).toBeVisible();
}

test("old records come in, two benches share by file, and what they say differently is settled, all by keyboard", async ({
  page,
  browser,
  baseURL,
}) => {
  const seen = watch(page);
  asksByItself(page);
  const noDialog = () => Reflect.deleteProperty(window, "showSaveFilePicker");
  await page.addInitScript(noDialog);
  await page.goto("./#/exchange");
  await expect(page.getByRole("heading", { name: "Exchange", exact: true })).toBeVisible();
  const csv = Buffer.from("No;Date;Metal;Diameter mm\nB-1;31.3.2026;copper;1,60\nB-2;32.3.2026;copper;1,60\n");
  await choose(page, "4", "Old records from a spreadsheet", { name: "old.csv", mimeType: "text/csv", buffer: csv });
  await expect(page.getByText(/1 line would become breaks; 1 line with faults stay out/)).toBeVisible();
  await page.keyboard.press("b");
  await expect(page.getByText("1 break added, 1 line with faults left out.")).toBeVisible();

  const file = await savedBench(page);
  const other = await browser.newContext();
  const there = await other.newPage();
  await there.addInitScript(noDialog);
  asksByItself(there);
  await there.goto(`${baseURL}#/exchange`);
  await expect(there.getByRole("heading", { name: "Exchange", exact: true })).toBeVisible();
  await openFile(there, "first-bench.zip", file);
  await expect(there.getByText("1 break, all hashes right")).toBeVisible();
  await axeClean(there, "a bench file looked at");
  await there.keyboard.press("b");
  await expect(there.getByText("1 break added.")).toBeVisible();

  // Both go on without knowing of each other: one field each, and one field both.
  for (const [bench, metal, field, value] of [
    [page, "brass", "Cast", "K7"],
    [there, "bronze", "Coil", "C1"],
  ] as const) {
    await bench.keyboard.press("Alt+l");
    await bench.getByText("B-1", { exact: true }).first().click();
    if (!bench.url().includes("#/bench/")) await bench.keyboard.press("Enter");
    await expect(bench.getByText(/on disk/)).toBeVisible();
    await setFact(bench, "Metal", metal);
    await setFact(bench, field, value);
  }
  await openFile(page, "other-bench.zip", await savedBench(there));
  await expect(page.getByText(/both histories become one, one field to settle afterwards/)).toBeVisible();
  await page.keyboard.press("b");
  await expect(page.getByRole("heading", { name: "To settle: one field" })).toBeVisible();
  await page.reload();
  await expect(page.getByRole("heading", { name: "To settle: one field" })).toBeVisible();
  await axeClean(page, "fields to settle");
  await tabTo(page, /B-1, metal: it is brass/);
  await page.keyboard.press("Enter");
  await expect(page.getByRole("heading", { name: /To settle/ })).toHaveCount(0);

  await openFile(there, "first-bench.zip", await savedBench(page));
  await expect(there.getByText(/both histories become one, no field in conflict/)).toBeVisible();
  await there.keyboard.press("b");
  await expect(there.getByText("1 break brought together.")).toBeVisible();
  await expect(there.getByRole("heading", { name: /To settle/ })).toHaveCount(0);
  await there.keyboard.press("Alt+l");
  await there.getByText("B-1", { exact: true }).first().click();
  if (!there.url().includes("#/bench/")) await there.keyboard.press("Enter");
  await there.keyboard.press("f");
  const facts = there.getByRole("dialog");
  await expect(facts.getByLabel("Metal", { exact: true })).toHaveValue("brass");
  await expect(facts.getByLabel("Cast", { exact: true })).toHaveValue("K7");
  await expect(facts.getByLabel("Coil", { exact: true })).toHaveValue("C1");
  await expect(facts.getByText(/Came with the table of old records “old.csv”/)).toBeVisible();
  await other.close();

  expect(seen).toEqual({ wrong: [], elsewhere: [] });
});

test("a picture comes in with its mark by keyboard; axe finds nothing on the parts of the screen", async ({ page }) => {
  const seen = watch(page);
  asksByItself(page);
  await page.goto("./#/exchange");
  await expect(page.getByRole("heading", { name: "Exchange", exact: true })).toBeVisible();
  await axeClean(page, "other benches");
  const csv = Buffer.from("No;Date;Metal\nB-1;31.3.2026;copper\nB-2;32.3.2026;copper\n");
  await choose(page, "4", "Old records from a spreadsheet", { name: "old.csv", mimeType: "text/csv", buffer: csv });
  await expect(page.getByText(/1 line with faults stay out/)).toBeVisible();
  await axeClean(page, "old records");
  const { width, height } = await sharp(PICTURE).metadata();
  const coco = JSON.stringify({
    images: [{ id: 1, file_name: "end.jpg", width, height }],
    categories: [{ id: 1, name: "pitting" }],
    annotations: [{ id: 1, image_id: 1, category_id: 1, bbox: [20, 30, 50, 40] }],
  });
  await choose(page, "3", "Marks of pictures (COCO)", [
    { name: "marks.json", mimeType: "application/json", buffer: Buffer.from(coco) },
    { name: "end.jpg", mimeType: "image/jpeg", buffer: readFileSync(PICTURE) },
  ]);
  await expect(page.getByText(/1 picture named, 1 can come in/)).toBeVisible();
  await axeClean(page, "marks of pictures");
  await tabTo(page, "pitting stands for");
  await page.keyboard.type("pit");
  await expect(page.getByRole("button", { name: /Bring in 1 break with 1 mark/ })).toBeEnabled();
  await page.keyboard.press("Shift+Tab");
  await tabTo(page, /Bring in 1 break with 1 mark/);
  await page.keyboard.press("Enter");
  await expect(page.getByText("1 break added, 1 photographs, 1 marks in place.")).toBeVisible();
  await page.keyboard.press("5");
  await expect(page.getByRole("table", { name: /What came in/ })).toBeVisible();
  await axeClean(page, "what came in");
  expect(seen).toEqual({ wrong: [], elsewhere: [] });
});
