import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { parseArgs } from "node:util";
import type { BrowserContext, Page } from "playwright";
import { chromium } from "playwright";
import { build, preview } from "vite";
import { chromiumLaunch } from "../tests/chromium.ts";
import { browserProcesses, killHard } from "./kill/processes.ts";
import type { Acknowledged, KillPage, Verified } from "./kill/protocol.ts";
import { seeded } from "./kill/random.ts";

/**
 * Kills the browser process (SIGKILL, all of it) at random moments of marking and importing, opens the same profile
 * again and looks for every commit the store had called saved.
 *
 * Usage: kill-browser [--times 100] [--seed 1]. Prints one JSON line; exit 1 when anything was lost.
 * The kill ends the process, not the machine: what the operating system had accepted is written. A power cut is not
 * tried here.
 */
const { values } = parseArgs({ options: { times: { type: "string" }, seed: { type: "string" } } });
const times = Number(values.times ?? 100);
const seed = Number(values.seed ?? 1);
if (!Number.isInteger(times) || times < 1 || !Number.isInteger(seed)) {
  console.error("--times and --seed must be whole numbers, --times at least 1.");
  process.exit(2);
}

/** Longest time of work before a kill, ms; the moment is drawn evenly below it. */
const LONGEST_WORK_MS = 2_000;

const pageRoot = new URL("./kill", import.meta.url).pathname;
const scratch = mkdtempSync(join(tmpdir(), "endpair-kill-"));
const profile = join(scratch, "profile");
const random = seeded(seed);
const acknowledged: Acknowledged[] = [];
const failedOpens: string[] = [];
const lost = new Set<string>();
const damaged = new Set<string>();
/** Kills after which the browser itself had thrown the database away, so that it was made anew from the safe. */
const wipedAfter: number[] = [];
/** Places of the safe that a start could not read. */
let unreadable = 0;
let kills = 0;
let beforeOpen = 0;
let last: Verified | null = null;

const started = Date.now();
await build({
  configFile: false,
  logLevel: "warn",
  root: pageRoot,
  build: { outDir: join(scratch, "page"), emptyOutDir: true, rollupOptions: { input: join(pageRoot, "page.html") } },
});
const server = await preview({
  configFile: false,
  logLevel: "warn",
  root: pageRoot,
  build: { outDir: join(scratch, "page") },
  preview: { host: "localhost", port: 4391 },
});
const address = new URL("page.html", server.resolvedUrls?.local[0]).href;

const sleep = (ms: number): Promise<void> => new Promise((resolve) => setTimeout(resolve, ms));

/** The bench page in a browser on the profile; every commit it calls saved is noted from its console. */
async function start(heard: Acknowledged[]): Promise<{ context: BrowserContext; page: Page }> {
  const context = await chromium.launchPersistentContext(profile, { ...chromiumLaunch(), headless: true });
  const page = context.pages()[0] ?? (await context.newPage());
  page.on("console", (message) => {
    const text = message.text();
    if (text.startsWith("ACK ")) heard.push(JSON.parse(text.slice(4)) as Acknowledged);
  });
  await page.goto(address);
  return { context, page };
}

async function openBench(page: Page): Promise<void> {
  const recovered = await page.evaluate(() => (window as unknown as { killPage: KillPage }).killPage.open());
  if (recovered === null) return;
  if (recovered.breaks > 0) wipedAfter.push(kills);
  unreadable += recovered.damaged;
}

const look = (page: Page, expected: readonly Acknowledged[], everything: boolean): Promise<Verified> =>
  page.evaluate(([list, all]) => (window as unknown as { killPage: KillPage }).killPage.verify(list, all), [
    expected,
    everything,
  ] as const);

async function verify(page: Page, expected: readonly Acknowledged[], everything: boolean): Promise<Verified> {
  const found = await look(page, expected, everything);
  for (const reason of found.lost) lost.add(reason);
  for (const reason of found.damaged) damaged.add(reason);
  return found;
}

/** A check that finds nothing wrong must be able to: commits that never were have to be missed. */
async function checkTheCheck(page: Page): Promise<void> {
  const [one] = acknowledged;
  if (!one) return;
  const never = [
    { ...one, seq: 1e9 },
    { ...one, recordHash: "0".repeat(64) },
    { ...one, original: "0".repeat(64) },
  ];
  const { lost: missed } = await look(page, never, false);
  if (missed.length < never.length) damaged.add("the check does not notice a commit that is not there");
}

async function kill(context: BrowserContext): Promise<void> {
  const gone = new Promise<void>((resolve) => context.once("close", () => resolve()));
  if (killHard(browserProcesses(profile)) === 0) throw new Error("There was no browser to kill.");
  kills++;
  await Promise.race([gone, sleep(10_000)]);
}

/** Opens, checks the commits of the last life, works, and dies. @returns the commits of this life. */
async function oneLife(before: readonly Acknowledged[]): Promise<Acknowledged[]> {
  const heard: Acknowledged[] = [];
  const { context, page } = await start(heard);
  if (random() < 0.05) {
    // Some die while the bench is still opening.
    const opening = openBench(page).catch(() => undefined);
    await sleep(random() * 60);
    await kill(context);
    await opening;
    beforeOpen++;
    return [...before];
  }
  try {
    await openBench(page);
  } catch (failure) {
    failedOpens.push(String(failure));
    await kill(context);
    return [...before];
  }
  await verify(page, before, false);
  const working = page
    .evaluate((n) => (window as unknown as { killPage: KillPage }).killPage.work(n), Math.floor(random() * 2 ** 31))
    .catch((failure: unknown) => String(failure));
  const ended = await Promise.race([working, sleep(random() * LONGEST_WORK_MS)]);
  if (ended !== undefined) damaged.add(`work ended by itself: ${ended}`);
  await kill(context);
  await working;
  acknowledged.push(...heard);
  return heard;
}

try {
  let before: Acknowledged[] = [];
  while (kills < times) {
    before = await oneLife(before);
    if (kills % 10 === 0) console.error(`${kills} kills, ${acknowledged.length} commits acknowledged`);
  }
  const { context, page } = await start([]);
  await openBench(page);
  last = await verify(page, acknowledged, true);
  await checkTheCheck(page);
  await context.close();
} finally {
  await server.close();
  killHard(browserProcesses(profile));
  rmSync(scratch, { recursive: true, force: true, maxRetries: 5, retryDelay: 200 });
}

const failed = failedOpens.length + lost.size + damaged.size + unreadable > 0 || acknowledged.length === 0;
console.log(
  JSON.stringify({
    kills,
    acknowledged: acknowledged.length,
    lost: lost.size,
    failedOpens: failedOpens.length,
    damaged: damaged.size,
    unreadable,
    wipedAfter,
    killedWhileOpening: beforeOpen,
    withPhotograph: acknowledged.filter(({ original }) => original !== null).length,
    onDisk: last && { breaks: last.breaks, entries: last.entries, originals: last.originals },
    seed,
    seconds: Math.round((Date.now() - started) / 1000),
  }),
);
for (const reason of [...failedOpens, ...lost, ...damaged].slice(0, 20)) console.error(reason);
process.exitCode = failed ? 1 : 0;
