import { spawnSync } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { scoresOf } from "../model/classifier/break-model.ts";
import { CANDIDATES } from "../model/classifier/candidates.ts";
import { foldsOf } from "../model/classifier/folds.ts";
import { accuracy, logLoss } from "../model/classifier/metrics.ts";
import { answersAt } from "../model/classifier/temperature.ts";
import { pickRows, type TrainingSet } from "../model/classifier/training-set.ts";
import { madeBreaks } from "./bench/made-breaks.ts";

/**
 * `npm run compare-training [BREAKS]`: our ways of learning beside Debian's python3-sklearn, on the same made breaks and
 * the same split, in one run, at several levels of noise. Made numbers rank no method on real breaks; they show whether
 * ours learn what there is to learn, and how long it takes.
 */
interface Line {
  readonly name: string;
  readonly accuracy: number;
  readonly logLoss: number;
  readonly seconds: number;
}
type Theirs = { readonly missing: string } | { readonly version: string; readonly found: readonly Line[] };

const NOISES = [3, 5, 8] as const;
const breaks = Number(process.argv[2] ?? 2000);
if (!Number.isInteger(breaks) || breaks < 400) {
  console.error(
    "The number of breaks must be a whole number of at least 400, for example: npm run compare-training 2000",
  );
  process.exit(2);
}

for (const noise of NOISES) {
  const set = madeBreaks(breaks, 100 + noise, noise);
  const fold = foldsOf(set, 4, 1);
  const all = Int32Array.from({ length: breaks }, (_, i) => i);
  const [train, test] = [all.filter((i) => fold[i] !== 0), all.filter((i) => fold[i] === 0)];
  console.log(`\nNoise ${noise}: ${train.length} breaks learnt from, ${test.length} judged, ${set.names.length} numbers, ${set.classes.length} types, one thread each`); // prettier-ignore
  for (const line of ours(set, train, test)) print("ours", line);
  const theirs = scikit(set, train, test);
  if ("missing" in theirs) console.log(theirs.missing);
  else for (const line of theirs.found) print(`scikit-learn ${theirs.version}`, line);
}

function print(whose: string, { name, accuracy: right, logLoss: loss, seconds }: Line): void {
  console.log(
    `  ${whose.padEnd(19)} ${name.padEnd(53)} accuracy ${right.toFixed(3)}  log loss ${loss.toFixed(3)}  ${seconds.toFixed(2).padStart(6)} s`,
  );
}

function ours(set: TrainingSet, train: Int32Array, test: Int32Array): readonly Line[] {
  const columns = set.names.length;
  const classes = set.classes.length;
  return CANDIDATES.map((candidate) => {
    const start = performance.now();
    const core = candidate.fit(pickRows(set, train), 1);
    const seconds = (performance.now() - start) / 1000;
    const scores = new Float64Array(test.length * classes);
    test.forEach((i, k) => scores.set(scoresOf(core, set.x.subarray(i * columns, (i + 1) * columns)), k * classes));
    const truth = test.map((i) => set.y[i]!);
    const answers = answersAt({ classes, scores, truth, known: new Int32Array(truth.length) }, 1);
    return { name: candidate.name, accuracy: accuracy(answers).value, logLoss: logLoss(answers), seconds };
  });
}

function scikit({ x, y, names }: TrainingSet, train: Int32Array, test: Int32Array): Theirs {
  const folder = mkdtempSync(join(tmpdir(), "endpair-compare-"));
  try {
    const files = { x: join(folder, "x.f32"), y: join(folder, "y.i32") };
    writeFileSync(files.x, new Uint8Array(x.buffer, x.byteOffset, x.byteLength));
    writeFileSync(files.y, new Uint8Array(y.buffer, y.byteOffset, y.byteLength));
    const asked = { ...files, rows: y.length, columns: names.length, train: [...train], test: [...test] };
    const script = new URL("compare-training.py", import.meta.url).pathname;
    const run = spawnSync("/usr/bin/python3", [script], {
      input: JSON.stringify(asked),
      encoding: "utf8",
      // One thread each, so that the times can be set side by side.
      env: { ...process.env, OMP_NUM_THREADS: "1", OPENBLAS_NUM_THREADS: "1" },
    });
    if (run.error)
      return { missing: `Python cannot be started (${run.error.message}): apt-get install python3-sklearn` };
    if (run.status !== 0) throw new Error(run.stderr);
    return JSON.parse(run.stdout) as Theirs;
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}
