import { createHash } from "node:crypto";
import { rename, writeFile } from "node:fs/promises";
import { parseArgs } from "node:util";
import type { ModelCard } from "../model/classifier/break-model.ts";
import { ClassifierError } from "../model/classifier/classifier-error.ts";
import { writeModelFile } from "../model/classifier/model-file.ts";
import { bytesOfSet, lackingOf, setOfBreaks } from "../model/classifier/set-of-breaks.ts";
import { train, type TrainOptions } from "../model/classifier/train.ts";
import type { TrainingSet } from "../model/classifier/training-set.ts";
import { COLUMN_NAMES } from "../model/classifier/vector.ts";
import { BenchFileError } from "../web/storage/bench-file-error.ts";
import { NoZip } from "./reference-set/open-set.ts";
import { labSet } from "./train/lab-set.ts";
import { READINGS, renderedSet } from "./train/rendered-set.ts";

const HELP = `Usage: npm run train -- SET.zip --out model.onnx [--seed N] [--name NAME] [--by-date YYYY-MM-DD]
       npm run train -- --rendered FOLDER --out model.onnx [--seed N] [--name NAME]

Learns from the confirmed breaks of a bench file, of a reference set that carries its records (never from its test part),
or from a folder of rendered breaks (npm run render-corpus), and writes a model file. The same breaks, seed and date give
the same bytes.

  --out FILE      where the model goes (.onnx)
  --seed N        seed of folds and samples (1)
  --name NAME     name on the card
  --by-date DAY   day on the card; left out, today
`;

interface Source {
  readonly set: TrainingSet;
  readonly trainedOn: string;
  readonly limits: readonly string[];
}

async function fromLab(path: string): Promise<Source> {
  const { breaks, unconfirmed, otherPart, faults } = await labSet(path, "learning");
  for (const fault of faults) console.error(fault);
  if (otherPart > 0) console.error(`${otherPart} breaks lie in the test part of the set and teach nothing.`);
  const sorted = setOfBreaks(breaks, COLUMN_NAMES);
  const lacking = lackingOf(sorted);
  if (lacking !== null) throw new ClassifierError("too-few-types", lacking.says, lacking.next);
  for (const { type, breaks: n } of sorted.tooFew) console.error(`${type}: ${n} confirmed, too few to learn from.`);
  if (unconfirmed > 0) console.error(`${unconfirmed} breaks are not confirmed and teach nothing.`);
  return {
    set: sorted.set,
    trainedOn: `${sorted.ids.length} confirmed breaks of this lab`,
    limits: ["Figures are of the breaks of one lab, by cross-validation."],
  };
}

async function fromRendered(folder: string): Promise<Source> {
  const { set, seeds } = await renderedSet(folder, READINGS);
  if (set.y.length === 0)
    throw new ClassifierError("too-few-types", `No rendered break lies in ${folder}.`, "Make some: npm run render-corpus -- --split model-train."); // prettier-ignore
  const breaks = new Set(set.group).size;
  return {
    set,
    trainedOn: `${breaks} rendered breaks (invented; seeds ${seeds.first} to ${seeds.last}), each as read by a careful and two careless readers, by the machine alone, and from paper`,
    limits: [
      "Trained on rendered images only. Not validated on photographs of real breaks.",
      "Its figures are figures about rendered images; the marks drawn on those nearly tell the type by themselves.",
    ],
  };
}

async function main(words: readonly string[]): Promise<number> {
  const { values, positionals } = parseArgs({
    args: [...words],
    allowPositionals: true,
    options: {
      out: { type: "string" },
      rendered: { type: "string" },
      seed: { type: "string", default: "1" },
      name: { type: "string" },
      "by-date": { type: "string" },
      help: { type: "boolean", default: false },
    },
  });
  if (values.help) {
    process.stdout.write(HELP);
    return 0;
  }
  const seed = Number(values.seed);
  const one = values.rendered === undefined ? positionals.length === 1 : positionals.length === 0;
  if (!one || values.out === undefined || !Number.isInteger(seed)) {
    process.stderr.write(HELP);
    return 2;
  }
  const began = performance.now();
  const source = values.rendered === undefined ? await fromLab(positionals[0]!) : await fromRendered(values.rendered);
  const options: TrainOptions = {
    seed,
    name: values.name ?? (values.rendered === undefined ? "model of this lab" : "Endpair, rendered breaks"),
    trainedAt: values["by-date"] ?? new Date().toISOString().slice(0, 10),
    trainedOn: source.trainedOn,
    limits: source.limits,
    dataDigest: createHash("sha256").update(bytesOfSet(source.set)).digest("hex"),
  };
  const read = performance.now();
  const { bytes, model } = writeModelFile(train(source.set, options));
  await writeFile(`${values.out}.part`, bytes);
  await rename(`${values.out}.part`, values.out);
  say(model.card, bytes.length, read - began, performance.now() - read);
  return 0;
}

function say(card: ModelCard, bytes: number, readMs: number, trainMs: number): void {
  const pct = (share: number): string => `${(100 * share).toFixed(1)} %`;
  console.log(`Learnt from ${card.trainedOn}.`);
  for (const c of card.candidates)
    console.log(`  ${c.name}: log loss ${c.logLoss.toFixed(3)}, right ${pct(c.accuracy.value)}`);
  console.log(
    `Left-out breaks: right ${pct(card.accuracy.value)} (${pct(card.accuracy.low)} to ${pct(card.accuracy.high)}), log loss ${card.logLoss.toFixed(3)}, calibration error ${card.calibration.error.toFixed(3)}`,
  );
  console.log(`${(readMs / 1000).toFixed(1)} s reading, ${(trainMs / 1000).toFixed(1)} s learning, ${bytes} bytes.`);
}

try {
  process.exitCode = await main(process.argv.slice(2));
} catch (error) {
  const known = error instanceof ClassifierError || error instanceof BenchFileError || error instanceof NoZip;
  const code = error instanceof Error && "code" in error ? String(error.code) : "";
  if (!known && code !== "ENOENT" && !code.startsWith("ERR_PARSE_ARGS")) throw error;
  const next = known && "next" in error && typeof error.next === "string" ? ` ${error.next}` : "";
  process.stderr.write(`${(error as Error).message}${next}\n`);
  process.exitCode = 2;
}
