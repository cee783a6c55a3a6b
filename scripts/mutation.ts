import { readFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { parseArgs } from "node:util";
import { MutationError } from "./mutation/fault.ts";
import { listMutants } from "./mutation/list.ts";
import { type Mutant, mutantKey, textAt } from "./mutation/mutant.ts";
import { drawSample } from "./mutation/sample.ts";
import { tally, tallyByFolder } from "./mutation/tally.ts";
import { type Tried, tryMutants } from "./mutation/try.ts";
import { closeWorkshop, openWorkshop } from "./mutation/workshop.ts";

const HELP = `Usage: npm run -s mutation -- [--sample 400 | --all] [--seed 1] [--at a-time] [--only keys.json]

Changes model/evidence and model/measure in small ways, one at a time, in a copy, and asks whether a test notices.
Prints one JSON object: {mutants, sampled, killed, survived, timeout, noCoverage, invalid, score, interval, byFolder,
survivors:[{at, kind, was, became, key}]}. Exit codes: 0 done, 1 the score is below 0.75, 2 the run could not be made.

  --sample N   how many mutants to try, drawn at random (400)
  --all        try every mutant: hours
  --seed N     the draw; the same seed gives the same sample of the same code (1)
  --at N       how many to try at a time (2)
  --only FILE  try the mutants of a list of keys, or the survivors of an earlier output, instead of a sample

Sentences are left out: no test should pin the words of a rule. The tool (@stryker-mutator) is fetched once, into the
temporary folder.
`;

/** Below this share the tests are too weak to lean on. */
const LEAST_SCORE = 0.75;

function wholeNumber(name: string, text: string | undefined, otherwise: number): number {
  if (text === undefined) return otherwise;
  if (!/^\d+$/.test(text)) throw new RangeError(`--${name} must be a whole number, not "${text}".`);
  return Number(text);
}

interface Survivors {
  readonly survivors: readonly { readonly key: string }[];
}

/** @throws MutationError `no-such-mutant` when a key names a change that the code, as it is now, doesn't have. */
function chosen(all: readonly Mutant[], file: string): readonly Mutant[] {
  const read = JSON.parse(readFileSync(file, "utf8")) as readonly string[] | Survivors;
  const keys = "survivors" in read ? read.survivors.map((s) => s.key) : read;
  const byKey = new Map(all.map((m) => [mutantKey(m), m]));
  return keys.map((key) => {
    const mutant = byKey.get(key);
    if (!mutant) throw new MutationError("no-such-mutant", `The code has no mutant "${key}" now: run a sample again.`);
    return mutant;
  });
}

function describeSurvivor(root: string, { mutant, status }: Tried): object {
  const { file, place, kind, replacement } = mutant;
  const was = textAt(readFileSync(join(root, file), "utf8"), place);
  const covered = status !== "NoCoverage";
  return { at: `${file}:${place.start.line}`, covered, kind, was, became: replacement, key: mutantKey(mutant) };
}

async function main(args: readonly string[]): Promise<number> {
  const text = { type: "string" } as const;
  const flag = { type: "boolean" } as const;
  const options = { sample: text, all: flag, seed: text, at: text, only: text, help: flag };
  const { values } = parseArgs({ args: [...args], options });
  if (values.help) {
    process.stdout.write(HELP);
    return 0;
  }
  const count = values.all ? Infinity : wholeNumber("sample", values.sample, 400);
  const seed = wholeNumber("seed", values.seed, 1);
  const root = fileURLToPath(new URL("..", import.meta.url));
  const workshop = openWorkshop(root);
  try {
    const all = await listMutants(workshop);
    const sample = values.only ? chosen(all, values.only) : drawSample(all, count, seed);
    const tried = await tryMutants(workshop, sample, wholeNumber("at", values.at, 2));
    const unnoticed = tried.filter((t) => t.status === "Survived" || t.status === "NoCoverage");
    const whole = tally(tried);
    const survivors = unnoticed.map((t) => describeSurvivor(workshop.copy, t));
    console.log(
      JSON.stringify({ mutants: all.length, seed, ...whole, byFolder: tallyByFolder(tried), survivors }, null, 1),
    );
    return (whole.score ?? 0) < LEAST_SCORE ? 1 : 0;
  } finally {
    closeWorkshop(workshop);
  }
}

try {
  process.exitCode = await main(process.argv.slice(2));
} catch (error) {
  console.error(error instanceof Error ? error.message : error);
  process.exitCode = 2;
}
