import { spawn, type ChildProcess } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { gzipSync } from "node:zlib";
import { chromium, type BrowserContext, type Page } from "playwright";
import { chromiumLaunch } from "../tests/chromium.ts";
import { benchFilter, benchWeigh, type Row } from "./bench/model.ts";
import { deepFile } from "./bench/deep.ts";
import { benchExport } from "./bench/export.ts";
import { benchNearest } from "./bench/nearest.ts";
import { learning } from "./bench/learning.ts";
import { proposing } from "./bench/proposals.ts";
import { benchRoute } from "./bench/route.ts";
import { seeing } from "./bench/seeing.ts";
import { FRAME_GAPS, framesPerSecond } from "./bench/frames.ts";
import { makeEndPhotographs, makePhotographs } from "./bench/photographs.ts";

/**
 * `npm run bench`: how fast the bench is, each figure beside a floor measured in the same run, so that a slow machine
 * does not look like a slow program. Nothing here decides whether the tests pass.
 */
const root = new URL("..", import.meta.url).pathname;
const PORT = 4395;
const ADDRESS = `http://localhost:${PORT}/`;

async function main(): Promise<void> {
  const rows: Row[] = [...benchWeigh(), ...benchFilter(), ...benchRoute(), ...benchNearest(), ...(await benchExport())];
  await run("npm", ["run", "-s", "build"]);
  rows.push(firstScreen());
  rows.push(...(await inBrowser()));
  const width = Math.max(...rows.map((r) => r.what.length));
  for (const r of rows)
    console.log(
      `${r.what.padEnd(width)}  ${r.figure.padStart(12)}  aim ${r.aim.padEnd(12)} ${r.met ? "met" : "NOT MET"}  ${r.beside}`,
    );
  console.log(JSON.stringify(rows));
}

/** Script that the first screen waits for: the entry and what it imports at once, gzipped. */
function firstScreen(): Row {
  const manifest = JSON.parse(readFileSync(join(root, "dist/.vite/manifest.json"), "utf8")) as Record<
    string,
    { file: string; isEntry?: boolean; imports?: string[] }
  >;
  const seen = new Set<string>();
  const visit = (key: string): void => {
    if (seen.has(key)) return;
    seen.add(key);
    manifest[key]?.imports?.forEach(visit);
  };
  Object.keys(manifest)
    .filter((key) => manifest[key]?.isEntry)
    .forEach(visit);
  const files = [...seen].map((key) => manifest[key]?.file ?? "").filter((file) => file.endsWith(".js"));
  const bytes = files.reduce((sum, file) => sum + gzipSync(readFileSync(join(root, "dist", file))).length, 0);
  const kB = bytes / 1000;
  return {
    what: "first screen's script, gzip",
    figure: `${kB.toFixed(1)} kB`,
    aim: "≤ 150 kB",
    met: kB <= 150,
    beside: `${files.length} files`,
  };
}

async function inBrowser(): Promise<Row[]> {
  const profile = mkdtempSync(join(tmpdir(), "endpair-bench-"));
  const photographs = await makePhotographs();
  const ends = await makeEndPhotographs();
  const rows: Row[] = [];
  try {
    // The same address twice: the development server fills the store through the real modules, the built product opens it.
    const filling = await serve(["vite", "--config", "web/vite.config.ts", "--port", String(PORT), "--strictPort"]);
    let breakIds: SeededBreaks;
    try {
      breakIds = await withPage(profile, (page) => fill(page, photographs, ends));
      rows.push(...(await withPage(profile, (page) => learning(page, ADDRESS, root))));
    } finally {
      await stop(filling);
    }
    const built = await serve([
      "vite",
      "preview",
      "--config",
      "web/vite.config.ts",
      "--port",
      String(PORT),
      "--strictPort",
    ]);
    try {
      rows.push(await withPage(profile, (page) => opening(page, breakIds.four, photographs)));
      rows.push(await withPage(profile, (page) => panning(page, breakIds.many)));
      rows.push(await withPage(profile, (page) => scrolling(page)));
      rows.push(...(await withPage(profile, (page) => seeing(page, ADDRESS, breakIds.four))));
      rows.push(...(await withPage(profile, (page) => deepFile(page, ADDRESS))));
      rows.push(...(await withPage(profile, (page) => proposing(page, ADDRESS, breakIds.ends, ends))));
    } finally {
      await stop(built);
    }
  } finally {
    rmSync(profile, { recursive: true, force: true });
  }
  return rows;
}

interface SeededBreaks {
  readonly four: string;
  readonly many: string;
  readonly ends: string;
}
const asText = (file: Buffer): string => file.toString("base64");

/** Files a break of four 24-megapixel photographs and one with 500 marks, through the product's own modules. */
async function fill(page: Page, photographs: readonly Buffer[], ends: readonly Buffer[]): Promise<SeededBreaks> {
  // A page of this address that does not start the application, which would hold the writing lock.
  const bare = `${ADDRESS}samples/index.json`;
  const module = new URL(`/@fs${root}scripts/bench/seed.ts`, ADDRESS).href;
  await page.goto(bare);
  // The first import makes the development server prepare its packages, after which it may reload the page.
  await page.evaluate((path) => import(path).then(() => undefined), module).catch(() => undefined);
  await page.waitForTimeout(4000);
  await page.goto(bare);
  return page.evaluate(
    async ({ encoded, ends, module }) => {
      const { seedBench } = (await import(module)) as {
        seedBench: (files: readonly string[], ends: readonly string[]) => Promise<SeededBreaks>;
      };
      return seedBench(encoded, ends);
    },
    { encoded: photographs.map(asText), ends: ends.map(asText), module },
  );
}

async function opening(page: Page, breakId: string, photographs: readonly Buffer[]): Promise<Row> {
  await page.goto(ADDRESS);
  await page.getByRole("heading", { level: 1 }).first().waitFor();
  const bare = await page.evaluate(
    async (encoded) => {
      const blobs = encoded.map(
        (text) => new Blob([Uint8Array.from(atob(text), (c) => c.charCodeAt(0))], { type: "image/jpeg" }),
      );
      const runs: number[] = [];
      for (let i = 0; i < 3; i++) {
        const start = performance.now();
        for (const blob of blobs) {
          const bitmap = await createImageBitmap(blob);
          // Drawing one pixel makes sure that the picture was really decoded.
          new OffscreenCanvas(1, 1).getContext("2d")?.drawImage(bitmap, 0, 0, 1, 1);
          bitmap.close();
        }
        runs.push(performance.now() - start);
      }
      return runs.sort((a, b) => a - b)[1] ?? 0;
    },
    photographs.map((p) => p.toString("base64")),
  );
  const times: number[] = [];
  for (let i = 0; i < 3; i++) {
    await page.goto(`${ADDRESS}#/log`);
    await page.waitForTimeout(300);
    times.push(
      await page.evaluate(async (id) => {
        performance.clearMarks();
        const start = performance.now();
        location.hash = `#/bench/${id}`;
        for (;;) {
          if (performance.getEntriesByName("endpair:pictures-ready").length > 0) return performance.now() - start;
          await new Promise((resolve) => setTimeout(resolve, 5));
        }
      }, breakId),
    );
  }
  const open = times.sort((a, b) => a - b)[1] ?? 0;
  const ratio = open / bare;
  return {
    what: "opening a break of four 24 MP photographs",
    figure: `${ratio.toFixed(2)} ×`,
    aim: "≤ 1.5 ×",
    met: ratio <= 1.5,
    beside: `${open.toFixed(0)} ms beside ${bare.toFixed(0)} ms of bare decoding of the same files`,
  };
}

async function panning(page: Page, breakId: string): Promise<Row> {
  await page.goto(`${ADDRESS}#/bench/${breakId}`);
  await page.waitForFunction(() => performance.getEntriesByName("endpair:pictures-ready").length > 0);
  const stage = page.getByRole("application").first();
  const box = await stage.boundingBox();
  if (box === null) throw new Error("The stage is not on the screen.");
  const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
  const frames = (act: () => Promise<void>) =>
    Promise.all([page.evaluate<number[]>(FRAME_GAPS), act()]).then(([gaps]) => gaps);
  const still = await frames(() => Promise.resolve());
  await page.mouse.move(x, y);
  const moving = await frames(async () => {
    await page.mouse.down({ button: "middle" });
    for (let i = 0; i < 90; i++) {
      await page.mouse.move(x + 80 * Math.sin(i / 9), y + 60 * Math.cos(i / 9));
      if (i % 6 === 0) await page.mouse.wheel(0, i % 12 === 0 ? -120 : 120);
    }
    await page.mouse.up({ button: "middle" });
  });
  return {
    what: "pan and zoom with 500 marks",
    figure: `${framesPerSecond(moving).toFixed(1)} /s`,
    aim: "≥ 55 /s",
    met: framesPerSecond(moving) >= 55,
    beside: `an idle page on this machine draws ${framesPerSecond(still).toFixed(1)} frames/s`,
  };
}

/** The log with 10,000 breaks, turned by the wheel as fast as a hand does. */
async function scrolling(page: Page): Promise<Row> {
  await page.goto(`${ADDRESS}#/log`);
  await page.getByRole("row").nth(5).waitFor();
  const box = await page.getByRole("grid").boundingBox();
  if (box === null) throw new Error("The log is not on the screen.");
  await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
  const [gaps] = await Promise.all([
    page.evaluate<number[]>(FRAME_GAPS),
    (async () => {
      for (let i = 0; i < 60; i++) await page.mouse.wheel(0, 400);
    })(),
  ]);
  const sorted = [...gaps].sort((a, b) => a - b);
  const p95 = sorted[Math.floor(0.95 * sorted.length)] ?? 0;
  const mean = gaps.reduce((a, b) => a + b, 0) / gaps.length;
  return {
    what: "scrolling a log of 10,000 breaks, frame p95",
    figure: `${p95.toFixed(1)} ms`,
    aim: "≤ 50 ms",
    met: p95 <= 50,
    beside: `${(1000 / mean).toFixed(1)} frames/s on average, ${Math.max(...gaps).toFixed(0)} ms the longest`,
  };
}

async function withPage<T>(profile: string, use: (page: Page) => Promise<T>): Promise<T> {
  const context: BrowserContext = await chromium.launchPersistentContext(profile, {
    ...chromiumLaunch(),
    viewport: { width: 1440, height: 900 },
  });
  try {
    return await use(context.pages()[0] ?? (await context.newPage()));
  } finally {
    await context.close();
  }
}

function run(command: string, args: readonly string[]): Promise<void> {
  return new Promise((resolve, reject) => {
    spawn(command, args, { cwd: root, stdio: ["ignore", "ignore", "inherit"] }).on("exit", (code) =>
      code === 0 ? resolve() : reject(new Error(`${command} ${args.join(" ")} ended with ${code}.`)),
    );
  });
}

async function serve(args: readonly string[]): Promise<ChildProcess> {
  const child = spawn("npx", args, { cwd: root, stdio: "ignore", detached: true });
  for (let i = 0; i < 200; i++) {
    try {
      if ((await fetch(ADDRESS)).ok) return child;
    } catch {
      // Not listening yet.
    }
    await new Promise((resolve) => setTimeout(resolve, 100));
  }
  throw new Error("The server did not start.");
}

async function stop(child: ChildProcess): Promise<void> {
  const gone = new Promise<void>((resolve) => child.once("exit", () => resolve()));
  if (child.pid !== undefined) process.kill(-child.pid, "SIGTERM");
  await gone;
}

await main();
