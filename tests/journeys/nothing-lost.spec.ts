import { expect, test, type Page } from "@playwright/test";
import { drop, SAMPLES, savedRevision, watch } from "./bench-hands.ts";

const FACE = `${SAMPLES}D-003/D-003_M_end-on.jpg`;

async function benchWithOneFace(page: Page): Promise<void> {
  await page.goto("./");
  await drop(page, [FACE]);
  await expect(page.locator(".shot")).toHaveCount(1, { timeout: 60_000 });
  await page.keyboard.press("Control+Enter");
  await expect(page.getByRole("application")).toHaveCount(1);
}

async function addAbsent(page: Page, letter: string): Promise<void> {
  await page.keyboard.press("x");
  await expect(page.getByRole("dialog")).toBeVisible();
  await page.keyboard.press(letter);
  await expect(page.getByRole("dialog")).toHaveCount(0);
}

test("a reload keeps every mark, and undo goes on from there", async ({ page }) => {
  await benchWithOneFace(page);
  await addAbsent(page, "h");
  await addAbsent(page, "p");
  const before = await savedRevision(page);
  await page.reload();
  await expect(page.getByRole("button", { name: /^hole/ })).toBeVisible();
  expect(await savedRevision(page)).toBe(before);
  await page.keyboard.press("Control+z");
  await expect(page.getByRole("button", { name: /^particle/ })).toHaveCount(0);
  await page.keyboard.press("Control+z");
  await expect(page.getByRole("button", { name: /^hole/ })).toHaveCount(0);
  await page.keyboard.press("Control+y");
  await expect(page.getByRole("button", { name: /^hole/ })).toBeVisible();
  await page.reload();
  await expect(page.getByRole("button", { name: /^hole/ })).toBeVisible();
  await page.keyboard.press("Control+Shift+z");
  await expect(page.getByRole("button", { name: /^particle/ })).toBeVisible();
});

test("a second tab only reads, follows, and takes over when the first one closes", async ({ page, context }) => {
  await benchWithOneFace(page);
  const address = page.url();
  const second = await context.newPage();
  await second.goto(address);
  await expect(second.getByText(/only reading/i)).toBeVisible();
  await addAbsent(page, "h");
  await expect(second.getByRole("button", { name: /^hole/ })).toBeVisible();
  await second.keyboard.press("x");
  await page.close();
  await expect(second.getByText(/only reading/i)).toHaveCount(0);
  await second.keyboard.press("Escape");
  await addAbsent(second, "p");
  await expect(second.getByRole("button", { name: /^particle/ })).toBeVisible();
  await savedRevision(second);
});

test("a full disk is said, keeps everything on the screen, and writing goes on when there is room", async ({
  page,
}) => {
  // The browser's own quota override is not heard once an address has written, so the disk's answer itself is stood in for.
  await page.addInitScript(() => {
    const put = Reflect.get(IDBObjectStore.prototype, "put");
    IDBObjectStore.prototype.put = function (this: IDBObjectStore, ...given: Parameters<typeof put>) {
      if ((globalThis as { diskFull?: boolean }).diskFull) throw new DOMException("", "QuotaExceededError");
      return put.apply(this, given);
    };
  });
  await benchWithOneFace(page);
  const setFull = (full: boolean) =>
    page.evaluate((value) => {
      (globalThis as { diskFull?: boolean }).diskFull = value;
    }, full);
  await setFull(true);
  await addAbsent(page, "h");
  await expect(page.getByText("Not on disk.")).toBeVisible();
  await expect(page.getByRole("button", { name: /^hole/ })).toBeVisible();
  await setFull(false);
  await page.getByRole("button", { name: "Try again" }).click();
  await expect(page.getByText("Not on disk.")).toHaveCount(0);
  await savedRevision(page);
  await page.reload();
  await expect(page.getByRole("button", { name: /^hole/ })).toBeVisible();
});

test("a bad file is named with its reason and the rest go on; a known one is recognised", async ({ page }) => {
  const seen = watch(page);
  await benchWithOneFace(page);
  await page.goto("./#/intake");
  await page
    .locator("input[type=file]")
    .first()
    .setInputFiles([
      { name: "notes.pdf", mimeType: "application/pdf", buffer: Buffer.from("%PDF-1.4 not a picture") },
      { name: "cut.jpg", mimeType: "image/jpeg", buffer: Buffer.from([0xff, 0xd8, 0xff, 0xe0, 0, 16, 74, 70, 73, 70]) },
    ]);
  await expect(page.getByText("2 files were not taken in")).toBeVisible();
  await expect(page.getByText("notes.pdf")).toBeVisible();
  await expect(page.getByText("cut.jpg")).toBeVisible();
  await drop(page, [FACE, `${SAMPLES}D-003/D-003_T_end-on.jpg`]);
  await expect(page.getByText(/Recognised, not stored twice/)).toContainText("D-003_M_end-on.jpg");
  await expect(page.locator(".shot")).toHaveCount(1);
  expect(seen.wrong).toEqual([]);
});
