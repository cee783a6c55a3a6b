import { loadavg } from "node:os";
import type { Page } from "playwright";
import type { LearningFigures } from "./learning-page.ts";
import type { Row } from "./model.ts";

const BREAKS = 10_000;

/**
 * Learning from ten thousand made breaks in a thread beside the log, and what a changed mark costs with what was learnt.
 *
 * @param page – of the development server, which serves the modules one by one.
 * @param root – folder of the product, with a slash at its end.
 */
export async function learning(page: Page, address: string, root: string): Promise<readonly Row[]> {
  await page.goto(`${address}#/log`);
  await page.getByRole("heading", { level: 1 }).first().waitFor();
  const module = new URL(`/@fs${root}scripts/bench/learning-page.ts`, address).href;
  // The first import makes the development server prepare its packages, after which it may reload the page.
  await page.evaluate((path) => import(path).then(() => undefined), module).catch(() => undefined);
  await page.waitForTimeout(4000);
  await page.goto(`${address}#/log`);
  await page.getByRole("heading", { level: 1 }).first().waitFor();
  const load = loadavg()[0]!.toFixed(1);
  const before = await processorSeconds(page);
  const found = await page.evaluate(
    async ({ module, breaks }) => {
      const { learningFigures } = (await import(module)) as {
        learningFigures: (breaks: number) => Promise<LearningFigures>;
      };
      return learningFigures(breaks);
    },
    { module, breaks: BREAKS },
  );
  const processor = (await processorSeconds(page)) - before;
  const { seconds, barePassSeconds, framesPerSecond, idleFramesPerSecond, sha256 } = found;
  const p95 = (times: readonly number[]) => [...times].sort((a, b) => a - b)[Math.floor(0.95 * times.length)] ?? NaN;
  const [both, rules] = [p95(found.suggestionMs), p95(found.rulesMs)];
  return [
    {
      what: "learning from 10,000 breaks in a thread",
      figure: `${seconds.toFixed(1)} s`,
      aim: "≤ 10 s",
      met: seconds <= 10,
      beside:
        `${(seconds / barePassSeconds).toFixed(0)} bare passes over the same numbers and types ` +
        `(${barePassSeconds.toFixed(3)} s each); load ${load}, ${processor.toFixed(1)} s of processor time for all of this; file ${sha256.slice(0, 12)}`,
    },
    {
      what: "frames of the log meanwhile",
      figure: `${framesPerSecond.toFixed(1)} /s`,
      aim: "≥ 55 /s",
      met: framesPerSecond >= 55,
      beside: `the same page with nothing going on draws ${idleFramesPerSecond.toFixed(1)} frames/s`,
    },
    {
      what: "a changed mark weighed with what was learnt, p95",
      figure: `${both.toFixed(1)} ms`,
      aim: "≤ 30 ms",
      met: both <= 30,
      beside: `the rules alone take ${rules.toFixed(1)} ms`,
    },
  ];
}

/** Processor time that the threads of all pages took so far: on a machine shared with others it says more than the clock. */
async function processorSeconds(page: Page): Promise<number> {
  const session = await page.context().browser()?.newBrowserCDPSession();
  if (session === undefined) return NaN;
  const { processInfo } = await session.send("SystemInfo.getProcessInfo");
  await session.detach();
  return processInfo.filter(({ type }) => type === "renderer").reduce((sum, { cpuTime }) => sum + cpuTime, 0);
}
