import { readdirSync } from "node:fs";
import { readFile } from "node:fs/promises";
import { join } from "node:path";
import { parseArgs } from "node:util";
import type { ModelAnswer } from "../model/classifier/break-model.ts";
import { askedAfter } from "./invariance/ask-again.ts";
import { MOTIONS, STILL } from "./invariance/moved-break.ts";
import { readModelFile } from "../model/classifier/model-file.ts";
import { COLUMN_NAMES } from "../model/classifier/vector.ts";

const HELP = `Usage: npm run -s evaluate-invariance [-- --model MODEL.onnx] [--px N] [--samples DIR]

Photographs every break of the demo mill anew – turned, mirrored, smaller, under other light, ends swapped – and asks the
model again. Prints the largest change of the probability of the likeliest type, and every change of that type.
`;

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
  const folders = readdirSync(values.samples, { withFileTypes: true })
    .filter((e) => e.isDirectory())
    .map((e) => e.name);
  const first = new Map<string, ModelAnswer>();
  for (const name of folders)
    first.set(name, await askedAfter({ ...STILL, name: "as it was" }, join(values.samples, name), model, px));
  let worst = 0;
  let others = 0;
  for (const motion of MOTIONS) {
    let most = { name: "", change: 0 };
    const turned: string[] = [];
    for (const name of folders) {
      const before = first.get(name)!.ranking[0]!;
      const now = await askedAfter(motion, join(values.samples, name), model, px);
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
