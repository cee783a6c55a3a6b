import { existsSync } from "node:fs";
import { mkdir, rename, rm, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { parseArgs } from "node:util";
import sharp from "sharp";
import { BREAK_TYPE_IDS } from "../model/evidence/break-type-ids.ts";
import { hash01 } from "./render/noise.ts";
import { buildBreak, renderShot } from "./render/render-break.ts";
import { observationSheet } from "./render/sheet.ts";
import type { SplitId } from "./render/vary/splits.ts";
import { SPLITS } from "./render/vary/splits.ts";
import { pictureTruth } from "./render/vary/truth.ts";
import type { VariedBreak } from "./render/vary/varied-break.ts";
import { variedBreak } from "./render/vary/varied-break.ts";

const USAGE = `npm run render-corpus -- --split ${Object.keys(SPLITS).join("|")} [--count N] [--from N] [--scale 0.45] [--type TYPE] [--out DIR]
  --from   how many seeds of the split to pass over first (0)
  --count  how many breaks (40)
  --scale  1 = pictures 2400 px wide
  --type   every break of this type, as central_burst; left out, the types take turns
  --out    folder; a break that is there already is left as it is (.corpus/<split>)`;

/** Renders a break into its own folder, which appears only when it is whole. */
async function writeBreak(b: VariedBreak, scale: number, folder: string): Promise<void> {
  const part = `${folder}.part`;
  await rm(part, { recursive: true, force: true });
  await mkdir(part, { recursive: true });
  const built = buildBreak(b.look, scale);
  const pictures = [];
  for (const [n, shot] of b.look.shots.entries()) {
    const rendered = renderShot(b.look, built, shot, { scale, plain: true });
    const { width, height, rgb } = rendered.pixels;
    const quality = 82 + Math.round(13 * hash01(b.seed, n, 815));
    const jpeg = await sharp(rgb, { raw: { width, height, channels: 3 } })
      .jpeg({ quality })
      .toBuffer();
    await writeFile(join(part, shot.file), jpeg);
    pictures.push({ ...pictureTruth(b, built, rendered), jpegQuality: quality });
  }
  const truth = {
    break: b.look.number,
    seed: b.seed,
    split: b.split,
    type: b.type,
    metal: b.look.metal,
    wireMm: b.look.wireMm,
    lights: b.lights,
    ground: b.ground,
    scale,
    neckOverD: b.look.body.neck,
    pictures,
  };
  await writeFile(join(part, "truth.json"), `${JSON.stringify(truth)}\n`);
  await writeFile(join(part, "sheet.json"), `${JSON.stringify(observationSheet(b, built, scale), null, 1)}\n`);
  await rename(part, folder);
}

async function main(words: readonly string[]): Promise<void> {
  const { values } = parseArgs({
    args: [...words],
    options: {
      split: { type: "string" },
      count: { type: "string", default: "40" },
      from: { type: "string", default: "0" },
      scale: { type: "string", default: "0.45" },
      type: { type: "string" },
      out: { type: "string" },
    },
  });
  const [count, from, scale] = [Number(values.count), Number(values.from), Number(values.scale)];
  const split = Object.keys(SPLITS).find((id): id is SplitId => id === values.split);
  if (!split || !Number.isInteger(count) || !Number.isInteger(from) || !(scale > 0.02 && scale <= 1)) {
    console.error(USAGE);
    process.exitCode = 2;
    return;
  }
  const type = BREAK_TYPE_IDS.find((id) => id === values.type);
  if (values.type !== undefined && type === undefined) {
    console.error(`There is no break type ${values.type}. They are: ${BREAK_TYPE_IDS.join(", ")}.`);
    process.exitCode = 2;
    return;
  }
  const { first, last } = SPLITS[split];
  if (first + from + count - 1 > last) {
    console.error(`The split ${split} ends at seed ${last}; ask for at most ${last - first - from + 1} breaks.`);
    process.exitCode = 2;
    return;
  }
  const out = values.out ?? join(".corpus", split);
  await mkdir(out, { recursive: true });
  const began = performance.now();
  let made = 0;
  for (let n = 0; n < count; n++) {
    const b = variedBreak(first + from + n, type === undefined ? {} : { type });
    const folder = join(out, b.look.number);
    if (existsSync(folder)) continue;
    await writeBreak(b, scale, folder);
    made++;
    const each = (performance.now() - began) / made / 1000;
    console.log(
      `${n + 1}/${count}  ${b.look.number}  ${b.type}, ${b.look.metal}, ${b.lights} on ${b.ground}  ${each.toFixed(1)} s each`,
    );
  }
  console.log(`${made} breaks written to ${out}, ${count - made} were there.`);
}

await main(process.argv.slice(2));
