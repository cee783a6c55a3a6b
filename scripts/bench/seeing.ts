import type { Page } from "playwright";
import { FRAME_GAPS, framesPerSecond } from "./frames.ts";
import type { Row } from "./model.ts";

/** Local contrast and exposure on a 24-megapixel photograph: the preview under the slider, then the full picture. */
export async function seeing(page: Page, address: string, breakId: string): Promise<readonly Row[]> {
  await page.goto(`${address}#/bench/${breakId}`);
  await page.waitForFunction(() => performance.getEntriesByName("endpair:pictures-ready").length > 0);
  await page.keyboard.press("l");
  const slider = page.getByRole("slider", { name: /^Local contrast/ });
  await slider.focus();
  const previews: number[] = [];
  for (let i = 0; i < 9; i++) {
    await page.evaluate(() => performance.clearMeasures());
    await page.keyboard.press("ArrowRight");
    previews.push(await duration(page, "endpair:seen-preview"));
  }
  const preview = previews.sort((a, b) => a - b)[4] ?? 0;
  // The full picture is made once the slider rests; meanwhile frames are counted.
  const [gaps, whole] = await Promise.all([page.evaluate<number[]>(FRAME_GAPS), duration(page, "endpair:seen-whole")]);
  const readBack = await page.evaluate(() => {
    const context = new OffscreenCanvas(6000, 4000).getContext("2d", { willReadFrequently: true });
    context?.fillRect(0, 0, 6000, 4000);
    const start = performance.now();
    const image = context?.getImageData(0, 0, 6000, 4000);
    if (image) context?.putImageData(image, 0, 0);
    return performance.now() - start;
  });
  return [
    {
      what: "light of a 24 MP photograph, preview",
      figure: `${preview.toFixed(0)} ms`,
      aim: "≤ 100 ms",
      met: preview <= 100,
      beside: "local contrast of 1.5 megapixels, from the key to the stage",
    },
    {
      what: "light of a 24 MP photograph, full",
      figure: `${whole.toFixed(0)} ms`,
      aim: "≤ 2500 ms",
      met: whole <= 2500,
      beside: `${readBack.toFixed(0)} ms to read the pixels and write them back; ${framesPerSecond(gaps).toFixed(1)} frames/s meanwhile`,
    },
  ];
}

async function duration(page: Page, name: string): Promise<number> {
  await page.waitForFunction((n) => performance.getEntriesByName(n).length > 0, name);
  return page.evaluate((n) => performance.getEntriesByName(n)[0]?.duration ?? NaN, name);
}
