import type { Page } from "playwright";
import { FRAME_GAPS, framesPerSecond } from "./frames.ts";
import type { Row } from "./model.ts";

/** Looking for marks on 24-megapixel photographs: time beside a bare decode, and the hand that marks meanwhile. */
export async function proposing(
  page: Page,
  address: string,
  breakId: string,
  photographs: readonly Buffer[],
): Promise<readonly Row[]> {
  await page.goto(`${address}#/bench/${breakId}`);
  await page.waitForFunction(() => performance.getEntriesByName("endpair:pictures-ready").length > 0);
  // The break is looked at by itself once; what is timed afterwards waits for nothing else.
  await page.waitForFunction(() => performance.getEntriesByName("endpair:marks-looked-for").length > 0);
  const bare = await bareDecode(page, photographs[0]!);
  const looks: number[] = [];
  for (let i = 0; i < 5; i++) looks.push(await look(page));
  const time = looks.sort((a, b) => a - b)[2] ?? 0;
  const stage = page.getByRole("application").first();
  const box = await stage.boundingBox();
  if (box === null) throw new Error("The stage is not on the screen.");
  const frames = (act: () => Promise<void>) =>
    Promise.all([page.evaluate<number[]>(FRAME_GAPS), act()]).then(([gaps]) => framesPerSecond(gaps));
  const still = await frames(() => Promise.resolve());
  await page.keyboard.press("Escape");
  let going = true;
  const busy = (async () => {
    while (going) await look(page);
  })();
  // A polygon is drawn point by point while the photograph is looked at again and again.
  const marking = await frames(async () => {
    for (let i = 0; i < 60; i++) {
      const a = (i / 60) * 2 * Math.PI;
      await page.mouse.move(
        box.x + box.width * (0.5 + 0.2 * Math.cos(a)),
        box.y + box.height * (0.5 + 0.2 * Math.sin(a)),
      );
      if (i % 6 === 0) await page.mouse.click(box.x + box.width * (0.5 + 0.2 * Math.cos(a)), box.y + box.height * 0.6);
    }
  });
  going = false;
  await busy;
  return [
    {
      what: "proposals for a 24 MP photograph",
      figure: `${time.toFixed(0)} ms`,
      aim: "≤ 1000 ms",
      met: time <= 1000,
      beside: `${bare.toFixed(0)} ms of bare decoding of the same file`,
    },
    {
      what: "marking while marks are looked for",
      figure: `${marking.toFixed(1)} /s`,
      aim: "≥ 55 /s",
      met: marking >= 55,
      beside: `an idle page on this machine draws ${still.toFixed(1)} frames/s`,
    },
  ];
}

/** Presses the key and waits for the answer. @returns ms from the request to the proposals in the page */
async function look(page: Page): Promise<number> {
  await page.evaluate(() => performance.clearMeasures("endpair:marks-looked-for"));
  await page.keyboard.press("i");
  await page.waitForFunction(() => performance.getEntriesByName("endpair:marks-looked-for").length > 0);
  return page.evaluate(() => performance.getEntriesByName("endpair:marks-looked-for")[0]?.duration ?? NaN);
}

async function bareDecode(page: Page, photograph: Buffer): Promise<number> {
  return page.evaluate(async (text) => {
    const blob = new Blob([Uint8Array.from(atob(text), (c) => c.charCodeAt(0))], { type: "image/jpeg" });
    const runs: number[] = [];
    for (let i = 0; i < 3; i++) {
      const start = performance.now();
      const bitmap = await createImageBitmap(blob);
      new OffscreenCanvas(1, 1).getContext("2d")?.drawImage(bitmap, 0, 0, 1, 1);
      bitmap.close();
      runs.push(performance.now() - start);
    }
    return runs.sort((a, b) => a - b)[1] ?? 0;
  }, photograph.toString("base64"));
}
