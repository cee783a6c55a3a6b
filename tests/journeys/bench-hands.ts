import { readFileSync } from "node:fs";
import { basename } from "node:path";
import { expect, type Page } from "@playwright/test";

export const SAMPLES = new URL("../../samples/", import.meta.url).pathname;

/** Everything that went wrong without a word on the screen: console errors, page errors, requests to elsewhere. */
export function watch(page: Page): { readonly wrong: readonly string[]; readonly elsewhere: readonly string[] } {
  const wrong: string[] = [];
  const elsewhere: string[] = [];
  page.on("console", (message) => {
    if (message.type() === "error") wrong.push(message.text());
  });
  page.on("pageerror", (error) => wrong.push(error.message));
  page.on("request", (request) => {
    const url = new URL(request.url());
    const own = url.hostname === "localhost" || url.protocol === "blob:" || url.protocol === "data:";
    if (!own) elsewhere.push(request.url());
  });
  return { wrong, elsewhere };
}

/** Lets files fall on the page, as from a folder window. */
export async function drop(page: Page, paths: readonly string[]): Promise<void> {
  const files = paths.map((path) => ({ name: basename(path), data: readFileSync(path).toString("base64") }));
  const transfer = await page.evaluateHandle((list) => {
    const made = new DataTransfer();
    for (const { name, data } of list)
      made.items.add(new File([Uint8Array.from(atob(data), (c) => c.charCodeAt(0))], name));
    return made;
  }, files);
  await page.dispatchEvent("main", "drop", { dataTransfer: transfer });
}

/** Opens the demo mill from the empty log and waits until all of it is on the disk. */
export async function openDemoMill(page: Page): Promise<void> {
  await page.goto("./");
  await page.getByRole("button", { name: /demo mill/i }).click();
  await expect(page.getByText(/demo breaks opened/i)).toBeVisible({ timeout: 90_000 });
}

export async function savedRevision(page: Page): Promise<number> {
  const state = page.locator("[data-saved=true]");
  await expect(state).toBeVisible();
  return Number(/rev (\d+)/.exec(await state.innerText())?.[1] ?? NaN);
}

/** Moves the cross to a place of the photograph with the arrow keys alone, reading its place from the screen. */
export async function moveCross(page: Page, x: number, y: number): Promise<void> {
  const readout = page.locator(".hint .at");
  const at = async (): Promise<[number, number]> => {
    const match = /at (-?\d+), (-?\d+)/.exec(await readout.innerText());
    if (!match) throw new Error("The place of the cross is not on the screen.");
    return [Number(match[1]), Number(match[2])];
  };
  // The first press brings the cross onto the picture.
  await page.keyboard.press("Alt+ArrowRight");
  // At a border of the stage the cross stays where it is, so the step is read in the direction that has room.
  const reach = async (key: string): Promise<number> => {
    const before = await at();
    await page.keyboard.press(key);
    return Math.abs((await at())[0] - before[0]);
  };
  const step = Math.max(await reach("ArrowLeft"), await reach("ArrowRight"));
  for (let round = 0; round < 6; round++) {
    const [cx, cy] = await at();
    const [dx, dy] = [Math.round(x - cx), Math.round(y - cy)];
    if (Math.abs(dx) <= 1 && Math.abs(dy) <= 1) return;
    await press(page, dx, "ArrowRight", "ArrowLeft", step);
    await press(page, dy, "ArrowDown", "ArrowUp", step);
  }
  const [cx, cy] = await at();
  expect(Math.hypot(cx - x, cy - y)).toBeLessThan(4);
}

async function press(page: Page, distance: number, plus: string, minus: string, step: number): Promise<void> {
  const key = distance >= 0 ? plus : minus;
  let left = Math.abs(distance);
  for (; left >= 5 * step; left -= 5 * step) await page.keyboard.press(`Shift+${key}`);
  for (; left >= step; left -= step) await page.keyboard.press(key);
  for (; left >= 1; left -= 1) await page.keyboard.press(`Alt+${key}`);
}

/** Picks a feature from the palette and draws its points with the keyboard alone. */
export async function markByKeyboard(
  page: Page,
  letter: string,
  points: readonly (readonly [number, number])[],
  end: boolean,
): Promise<void> {
  await page.keyboard.press("m");
  await expect(page.getByRole("dialog")).toBeVisible();
  await page.keyboard.press(letter);
  await expect(page.locator(".hint")).toBeVisible();
  for (const [x, y] of points) {
    await moveCross(page, x, y);
    await page.keyboard.press("Space");
  }
  if (end) await page.keyboard.press("Enter");
  await expect(page.locator(".hint")).toHaveCount(0);
}

/** Steps through the focus order until the control with this label has it: no mouse, as a person does. */
export async function tabTo(page: Page, name: string | RegExp, most = 80): Promise<void> {
  for (let i = 0; i < most; i++) {
    const focused = await page.evaluate(() => {
      const el = document.activeElement as HTMLInputElement | null;
      if (!el) return "";
      const label = "labels" in el && el.labels ? [...el.labels].map((l) => l.textContent ?? "").join(" ") : "";
      return `${el.getAttribute("aria-label") ?? ""} ${label} ${el.tagName === "BUTTON" || el.tagName === "A" ? (el.textContent ?? "") : ""}`;
    });
    if (typeof name === "string" ? focused.includes(name) : name.test(focused)) return;
    await page.keyboard.press("Tab");
  }
  throw new Error(`The keyboard does not reach ${String(name)}.`);
}
