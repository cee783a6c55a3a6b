import { existsSync } from "node:fs";
import { mkdir, readdir, rm, stat, writeFile } from "node:fs/promises";
import { join } from "node:path";
import sharp from "sharp";
import { BREAKS } from "./render/breaks.ts";
import type { DemoBreak } from "./render/demo/demo-break.ts";
import type { Pixels } from "./render/develop.ts";
import { exifSegment, withSegment } from "./render/exif.ts";
import { buildBreak, renderShot } from "./render/render-break.ts";
import { observationSheet, renderRecord } from "./render/sheet.ts";
import { storedPixels } from "./render/stored.ts";

const SAMPLES = new URL("../samples/", import.meta.url).pathname;
const WORDS = "Rendered, invented break of the Endpair demo mill - not a photograph";
/** Largest file that is committed; the quality is lowered until a picture fits. */
const LARGEST_BYTES = 430_000;

/** The n-th shot of a break is taken some seconds after the one before, as at a bench. */
function shotTime(first: string, n: number): string {
  const at = new Date(`${first}Z`);
  at.setUTCSeconds(at.getUTCSeconds() + 47 * n + ((n * n * 13) % 29));
  return at.toISOString().slice(0, 19);
}

async function encode(pixels: Pixels): Promise<Uint8Array> {
  const raw = { width: pixels.width, height: pixels.height, channels: 3 as const };
  for (let quality = 93; ; quality -= 4) {
    const jpeg = await sharp(pixels.rgb, { raw }).jpeg({ quality, mozjpeg: true }).toBuffer();
    if (jpeg.length <= LARGEST_BYTES || quality <= 60) return jpeg;
  }
}

interface IndexRow {
  readonly number: string;
  readonly story: string;
  readonly expected: string;
  readonly metal: string;
  readonly wire_mm: number;
  readonly sheet: string;
  readonly route?: string;
  readonly files: readonly { readonly file: string; readonly bytes: number }[];
}

/** @returns the row of the index, or null while a picture of this break has not been made yet. */
async function writeBreak(demo: DemoBreak, sheetsOnly: boolean): Promise<IndexRow | null> {
  const { look } = demo;
  const folder = join(SAMPLES, look.number);
  await mkdir(folder, { recursive: true });
  const json = (name: string, value: unknown): Promise<void> =>
    writeFile(join(folder, name), `${JSON.stringify(value, null, 1)}\n`);
  // Marks are placed by the framing; the coarse field only tells how far the torn rim stands out.
  await json("sheet.json", observationSheet(demo, buildBreak(look, 0.15)));
  await json("render.json", renderRecord(demo));
  if (demo.route !== undefined) await json("route.json", demo.route);
  await json("expected.json", { verdict: demo.expected });
  if (!sheetsOnly) {
    const wanted = new Set(look.shots.map((s) => s.file));
    for (const name of await readdir(folder))
      if (name.endsWith(".jpg") && !wanted.has(name)) await rm(join(folder, name));
    const built = buildBreak(look, 1);
    let n = 0;
    for (const shot of look.shots) {
      const { pixels } = renderShot(look, built, shot, { scale: 1 });
      const jpeg = await encode(storedPixels(pixels, shot.orientation));
      const words = {
        description: WORDS,
        software: "Endpair render-samples",
        taken: shotTime(demo.taken, n++),
        offset: "+01:00",
        orientation: shot.orientation,
      };
      await writeFile(join(folder, shot.file), withSegment(jpeg, exifSegment(words)));
    }
  }
  const files: IndexRow["files"][number][] = [];
  for (const { file } of look.shots) {
    const path = join(folder, file);
    if (!existsSync(path)) return null;
    files.push({ file, bytes: (await stat(path)).size });
  }
  return {
    number: look.number,
    story: demo.story,
    expected: demo.expected,
    metal: look.metal,
    wire_mm: look.wireMm,
    sheet: "sheet.json",
    ...(demo.route === undefined ? {} : { route: "route.json" }),
    files,
  };
}

/**
 * `npm run render-samples` writes all demo breaks; numbers as arguments write only those; `--sheets` leaves the
 * pictures as they are. The index always lists every break.
 */
async function main(words: readonly string[]): Promise<void> {
  const sheetsOnly = words.includes("--sheets");
  const asked = words.filter((w) => !w.startsWith("--"));
  const unknown = asked.filter((a) => !BREAKS.some((b) => b.look.number === a));
  if (unknown.length > 0) {
    console.error(`No demo break is numbered ${unknown.join(", ")}; see samples/index.json.`);
    process.exitCode = 2;
    return;
  }
  const rows: IndexRow[] = [];
  for (const demo of BREAKS) {
    const skipped = asked.length > 0 && !asked.includes(demo.look.number);
    const row = await writeBreak(demo, sheetsOnly || skipped);
    if (row) rows.push(row);
    if (row && !skipped)
      console.log(`${row.number}  ${row.files.map((f) => `${f.file} ${Math.round(f.bytes / 1000)} kB`).join(", ")}`);
  }
  const index = { mill: "Hollowmoor Wire (invented)", rendered: true, breaks: rows };
  await writeFile(join(SAMPLES, "index.json"), `${JSON.stringify(index, null, 1)}\n`);
}

await main(process.argv.slice(2));
