import { readFile, writeFile } from "node:fs/promises";
import { parseArgs } from "node:util";
import { answer, probabilitiesOf, type BreakModel } from "../model/classifier/break-model.ts";
import { calibrationByChance } from "../model/classifier/calibration-chance.ts";
import { ClassifierError } from "../model/classifier/classifier-error.ts";
import { recommended } from "../model/classifier/compare-models.ts";
import { accuracy, calibrationOf, confusionOf, logLoss, pairedTest, perClass, topOf, type Answers, type Share } from "../model/classifier/metrics.ts"; // prettier-ignore
import { readModelFile } from "../model/classifier/model-file.ts";
import { COLUMN_NAMES } from "../model/classifier/vector.ts";
import { BREAK_TYPE_IDS, type BreakTypeId } from "../model/evidence/break-type-ids.ts";
import { BenchFileError } from "../web/storage/bench-file-error.ts";
import { NoZip } from "./reference-set/open-set.ts";
import { labSet } from "./train/lab-set.ts";
import { renderedSet, type Reading } from "./train/rendered-set.ts";

const HELP = `Usage: npm run evaluate -- MODEL SET.zip [--in-use MODEL]
       npm run evaluate -- MODEL --rendered FOLDER [--in-use MODEL] [--card FILE.md]

Judges a model on confirmed breaks that it did not learn from: those of a bench file, of the test part of a reference set
that carries its records, or rendered breaks kept apart. Per
type precision and recall with 95 % Wilson intervals, confusion table, calibration, and every error by name. With --in-use
both models are judged on the same breaks (exact McNemar test), with a recommendation.
`;

interface Judged {
  readonly title: string;
  readonly names: readonly string[];
  readonly truth: Int32Array;
  readonly rows: readonly ArrayLike<number>[];
}

const pct = (v: number): string => (Number.isNaN(v) ? "–" : `${(100 * v).toFixed(1)} %`);
const share = (s: Share): string => (s.n === 0 ? "–" : `${pct(s.value)} (${pct(s.low)} to ${pct(s.high)}; ${s.of} of ${s.n})`); // prettier-ignore

/** Probabilities over all types; a type that the model cannot name gets none. */
function answersOf(model: BreakModel, { truth, rows }: Judged): Answers {
  const classes = BREAK_TYPE_IDS.length;
  const probabilities = new Float64Array(rows.length * classes);
  rows.forEach((row, i) => {
    probabilitiesOf(model, row).forEach((p, c) => {
      probabilities[i * classes + BREAK_TYPE_IDS.indexOf(model.classes[c] as BreakTypeId)] = p;
    });
  });
  return { classes, probabilities, truth };
}

function figures(model: BreakModel, judged: Judged): readonly string[] {
  const answers = answersOf(model, judged);
  const confusion = confusionOf(answers);
  const types = perClass(confusion);
  const calibration = calibrationOf(answers);
  const chance = calibrationByChance(answers);
  const errors = judged.names.flatMap((name, i) => {
    const [top, truth] = [topOf(answers, i), judged.truth[i]!];
    if (top === truth) return [];
    const said = answers.probabilities[i * answers.classes + top]!;
    const { unlike } = answer(model, judged.rows[i]!);
    return [
      `| ${name} | ${BREAK_TYPE_IDS[truth]!} | ${BREAK_TYPE_IDS[top]!} | ${said.toFixed(2)} | ${unlike.toFixed(2)} |`,
    ];
  });
  const seen = BREAK_TYPE_IDS.map((_, c) => c).filter((c) => [...judged.truth].includes(c));
  return [
    `### ${judged.title}`,
    "",
    `${judged.rows.length} breaks. Right: **${share(accuracy(answers))}**. Log loss ${logLoss(answers).toFixed(3)}. Expected calibration error **${calibration.error.toFixed(3)}**.`,
    "",
    `On so few breaks chance alone makes that error ${chance.mean.toFixed(3)} on average for a model whose every probability is true, and more than ${chance.oneInTwenty.toFixed(3)} once in twenty such sets.`,
    "",
    "| type | precision | recall |",
    "| --- | --- | --- |",
    ...seen.map((c) => `| ${BREAK_TYPE_IDS[c]!} | ${share(types[c]!.precision)} | ${share(types[c]!.recall)} |`),
    "",
    "| probability said | breaks | said on average | right |",
    "| --- | --- | --- | --- |",
    ...calibration.bins
      .filter((b) => b.n > 0)
      .map((b) => `| ${b.from.toFixed(1)} to ${b.to.toFixed(1)} | ${b.n} | ${pct(b.said)} | ${pct(b.right)} |`),
    "",
    "Confusion (rows: true type; columns: named type, in the same order):",
    "",
    "```",
    ...seen.map(
      (c) => `${BREAK_TYPE_IDS[c]!.padEnd(20)} ${seen.map((k) => String(confusion[c]![k]!).padStart(3)).join(" ")}`,
    ),
    "```",
    "",
    `Errors (${errors.length}):`,
    "",
    "| break | true type | named | probability | unlike |",
    "| --- | --- | --- | --- | --- |",
    ...errors,
    "",
  ];
}

async function judgedSets(lab: string | undefined, rendered: string | undefined): Promise<readonly Judged[]> {
  if (rendered !== undefined) {
    const ways: readonly (readonly [Reading, string])[] = [
      ["drawn", "Rendered breaks, true marks drawn"],
      ["proposed", "Rendered breaks, proposed marks only"],
    ];
    const found = await renderedSet(rendered, ways.map(([reading]) => reading)); // prettier-ignore
    const columns = found.set.names.length;
    return ways.map(([reading, title]) => {
      const rows = found.readings.flatMap((r, i) => (r === reading ? [i] : []));
      return {
        title: `${title} (seeds ${found.seeds.first} to ${found.seeds.last})`,
        names: rows.map((i) => found.names[i]!),
        truth: Int32Array.from(rows, (i) => found.set.y[i]!),
        rows: rows.map((i) => found.set.x.subarray(i * columns, (i + 1) * columns)),
      };
    });
  }
  const { breaks, otherPart, faults } = await labSet(lab!, "judging");
  for (const fault of faults) console.error(fault);
  const typed = breaks.flatMap(({ type, ...b }) => (type === "undetermined" ? [] : [{ ...b, type }]));
  if (typed.length === 0)
    throw new ClassifierError("too-few-breaks", "No break of this file that may be judged with is confirmed with a type.", "Confirm some; of a reference set, give its test part some breaks."); // prettier-ignore
  return [
    {
      title: otherPart > 0 ? "Test part of the set" : "Confirmed breaks of the file",
      names: typed.map((b) => b.number),
      truth: Int32Array.from(typed, (b) => BREAK_TYPE_IDS.indexOf(b.type)),
      rows: typed.map((b) => b.vector),
    },
  ];
}

function against(fresh: BreakModel, inUse: BreakModel, judged: Judged): readonly string[] {
  const [a, b] = [answersOf(fresh, judged), answersOf(inUse, judged)];
  const paired = pairedTest(a, b);
  const verdict = recommended({ judged: judged.rows.length, fresh: accuracy(a), inUse: accuracy(b), paired, typesLost: inUse.classes.filter((t) => !fresh.classes.includes(t)) }); // prettier-ignore
  return [
    `Beside the model in use, same breaks: ${share(accuracy(a))} against ${share(accuracy(b))}; right alone: ${paired.onlyFirst} and ${paired.onlySecond}; p = ${paired.p.toFixed(3)}.`,
    `Recommendation: ${verdict.recommend === "adopt" ? "adopt" : "keep the one in use"}. ${verdict.because.join(" ")}`,
    "",
  ];
}

async function main(words: readonly string[]): Promise<number> {
  const { values, positionals } = parseArgs({
    args: [...words],
    allowPositionals: true,
    options: {
      rendered: { type: "string" },
      "in-use": { type: "string" },
      card: { type: "string" },
      help: { type: "boolean", default: false },
    },
  });
  if (values.help) {
    process.stdout.write(HELP);
    return 0;
  }
  const [file, lab] = positionals;
  if (file === undefined || (lab === undefined) === (values.rendered === undefined)) {
    process.stderr.write(HELP);
    return 2;
  }
  const model = readModelFile(Uint8Array.from(await readFile(file)), COLUMN_NAMES);
  const inUse = values["in-use"] === undefined ? null : readModelFile(Uint8Array.from(await readFile(values["in-use"])), COLUMN_NAMES); // prettier-ignore
  const sets = await judgedSets(lab, values.rendered);
  const lines = sets.flatMap((judged) => [...figures(model, judged), ...(inUse ? against(model, inUse, judged) : [])]);
  const { card } = model;
  const head = [
    `# ${card.name}`,
    "",
    `Learnt from ${card.trainedOn}. ${card.limits.join(" ")}`,
    "",
    `Kind: ${model.core.kind}; ${card.breaks} breaks; digest of the numbers learnt from ${card.dataDigest}; seed ${card.seed}; ${card.trainedAt}.`,
    "",
  ];
  const text = [...head, ...lines].join("\n");
  console.log(text);
  if (values.card !== undefined) await writeFile(values.card, `${text.trimEnd()}\n`);
  return 0;
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
