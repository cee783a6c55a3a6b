import { readdirSync } from "node:fs";
import { readFile } from "node:fs/promises";
import { join } from "node:path";
import { parseArgs } from "node:util";
import { parseObservationSheets } from "../model/break/observation-sheet.ts";
import { END_SIDES } from "../model/break/wire-break.ts";
import { answer, type BreakModel, type ModelAnswer } from "../model/classifier/break-model.ts";
import { readModelFile } from "../model/classifier/model-file.ts";
import { describeView, numbersOfBreak, viewsToDescribe } from "../model/classifier/of-break.ts";
import type { ViewNumbers } from "../model/classifier/view-columns.ts";
import { COLUMN_NAMES } from "../model/classifier/vector.ts";
import { breakWithUnopenedPictures } from "../model/measure/paper-record.ts";
import { movedPicture, movedRecord, MOTIONS, type Motion } from "./invariance/moved-break.ts";
import { readPicture } from "./propose/read-picture.ts";

const HELP = `Usage: npm run -s evaluate-invariance [-- --model MODEL.onnx] [--px N] [--samples DIR]

Photographs every break of the demo mill anew – turned, mirrored, smaller, under other light, ends swapped – and asks the
model again. Prints the largest change of the probability of the likeliest type, and every change of that type.
`;

/** Where a change comes from: px of the longest side the pictures are read at. */
async function asked(folder: string, motion: Motion | null, model: BreakModel, px: number): Promise<ModelAnswer> {
  const [sheet] = parseObservationSheets(JSON.parse(await readFile(join(folder, "sheet.json"), "utf8")));
  let count = 0;
  const record = breakWithUnopenedPictures(sheet!, {
    id: sheet!.id,
    newId: () => `mark ${(count += 1)}`,
    at: "",
    by: "",
  });
  const pictures = new Map<string, Awaited<ReturnType<typeof movedPicture>>>();
  let by = 1;
  for (const side of END_SIDES)
    for (const { id, fileName } of record.ends[side].photographs) {
      const { raster, widthPx } = await readPicture(join(folder, fileName), px);
      by = widthPx / raster.widthPx;
      const moved = await movedPicture(raster, motion ?? { ...MOTIONS[0]!, swapEnds: false });
      pictures.set(id, { raster: moved.raster, move: ([x, y]) => moved.move([x / by, y / by]) });
    }
  const scale = (motion?.scale ?? 1) / by;
  const after = movedRecord(record, pictures, { ...(motion ?? { ...MOTIONS[0]!, swapEnds: false }), scale });
  const views = viewsToDescribe(after).map(({ side, photograph, outline }): ViewNumbers => ({
    side,
    kind: outline.type === "ellipse" ? "face" : "side",
    values: describeView(pictures.get(photograph.id)!.raster, outline, 1),
  }));
  return answer(model, numbersOfBreak(after, views));
}

async function main(words: readonly string[]): Promise<number> {
  const { values } = parseArgs({
    args: [...words],
    options: {
      model: { type: "string", default: "model/classifier/shipped/endpair.onnx" },
      px: { type: "string", default: "1600" },
      samples: { type: "string", default: "samples" },
      help: { type: "boolean", default: false },
    },
  });
  const px = Number(values.px);
  if (values.help || !(px >= 200)) {
    process.stdout.write(HELP);
    return values.help ? 0 : 2;
  }
  const model = readModelFile(Uint8Array.from(await readFile(values.model)), COLUMN_NAMES);
  const folders = process.env.ONLY ? process.env.ONLY.split(',') : readdirSync(values.samples, { withFileTypes: true })
    .filter((e) => e.isDirectory())
    .map((e) => e.name);
  const first = new Map<string, ModelAnswer>();
  for (const name of folders) first.set(name, await asked(join(values.samples, name), null, model, px));
  let worst = 0;
  let others = 0;
  for (const motion of MOTIONS) {
    let most = { name: "", change: 0 };
    const turned: string[] = [];
    for (const name of folders) {
      const before = first.get(name)!.ranking[0]!;
      const now = await asked(join(values.samples, name), motion, model, px);
      const change = Math.abs(now.ranking.find((r) => r.type === before.type)!.probability - before.probability);
      if (change >= most.change) most = { name, change };
      if (now.ranking[0]!.type !== before.type) turned.push(`${name} ${before.type} → ${now.ranking[0]!.type}`);
    }
    worst = Math.max(worst, most.change);
    others += turned.length;
    console.log(
      `${motion.name.padEnd(28)} largest change ${most.change.toFixed(4)} (${most.name})${turned.length > 0 ? `; other type: ${turned.join(", ")}` : ""}`,
    );
  }
  console.log(
    `${folders.length} breaks, ${MOTIONS.length} motions: largest change ${worst.toFixed(4)}, ${others} other types.`,
  );
  return others === 0 && worst <= 0.02 ? 0 : 1;
}

process.exitCode = await main(process.argv.slice(2));
