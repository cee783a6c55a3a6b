import { readdirSync } from "node:fs";
import { readFile } from "node:fs/promises";
import { join } from "node:path";
import { parseArgs } from "node:util";
import { askedAfter, readBreak } from "./invariance/ask-again.ts";
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
  const tally = MOTIONS.map(() => ({ name: "", change: 0, turned: [] as string[] }));
  for (const name of folders) {
    const read = await readBreak(join(values.samples, name), px);
    const before = (await askedAfter({ ...STILL, name: "as it was" }, read, model)).ranking[0]!;
    for (const [k, motion] of MOTIONS.entries()) {
      const { ranking } = await askedAfter(motion, read, model);
      const change = Math.abs(ranking.find((r) => r.type === before.type)!.probability - before.probability);
      const most = tally[k]!;
      if (change >= most.change) [most.name, most.change] = [name, change];
      if (ranking[0]!.type !== before.type) most.turned.push(`${name} ${before.type} → ${ranking[0]!.type}`);
    }
  }
  for (const [k, { name, change, turned }] of tally.entries())
    console.log(
      `${MOTIONS[k]!.name.padEnd(28)} largest change ${change.toFixed(4)} (${name})${turned.length > 0 ? `; other type: ${turned.join(", ")}` : ""}`,
    );
  const worst = Math.max(...tally.map((t) => t.change));
  const others = tally.reduce((sum, t) => sum + t.turned.length, 0);
  console.log(
    `${folders.length} breaks, ${MOTIONS.length} motions: largest change ${worst.toFixed(4)}, ${others} other types.`,
  );
  return others === 0 && worst <= 0.02 ? 0 : 1;
}

process.exitCode = await main(process.argv.slice(2));
