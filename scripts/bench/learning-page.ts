import type { Mark, WireBreak } from "../../model/break/wire-break.ts";
import { parseObservationSheets } from "../../model/break/observation-sheet.ts";
import { CAUTIOUS, pool } from "../../model/classifier/pool.ts";
import type { TrainingSet } from "../../model/classifier/training-set.ts";
import { vectorOf } from "../../model/classifier/vector.ts";
import { FACE_VALUES, type ViewNumbers } from "../../model/classifier/view-columns.ts";
import { suggest } from "../../model/evidence/suggest.ts";
import { observe } from "../../model/measure/observe.ts";
import { breakWithUnopenedPictures } from "../../model/measure/paper-record.ts";
import { createLearnService } from "../../web/workers/learn-client.ts";
import { createModelService } from "../../web/workers/model-client.ts";
import { madeBreaks } from "./made-breaks.ts";

export interface LearningFigures {
  readonly seconds: number;
  readonly framesPerSecond: number;
  readonly idleFramesPerSecond: number;
  /** One multiplication and addition for each number of the set and each type, in a plain loop, s. */
  readonly barePassSeconds: number;
  readonly sha256: string;
  readonly suggestionMs: readonly number[];
  /** The same changes without the model. */
  readonly rulesMs: readonly number[];
}

const pause = (ms: number) => new Promise<void>((resolve) => setTimeout(resolve, ms));

/** Frames drawn while something goes on. */
async function framesWhile(work: Promise<unknown>): Promise<number> {
  let on = true;
  let frames = 0;
  const start = performance.now();
  const done = work.finally(() => (on = false));
  const step = (): void => {
    frames++;
    if (on) requestAnimationFrame(step);
  };
  requestAnimationFrame(step);
  await done;
  return (1000 * frames) / (performance.now() - start);
}

/** Runs in the page of the development server: learns from made breaks beside the page, then asks what was learnt. */
export async function learningFigures(breaks: number): Promise<LearningFigures> {
  const set = madeBreaks(breaks, 1, 3);
  const idleFramesPerSecond = await framesWhile(pause(2000));
  const barePassSeconds = barePass(set);
  const options = {
    seed: 1,
    name: "bench",
    trainedAt: "2026-01-01T00:00:00Z",
    trainedOn: "made numbers",
    limits: ["Made numbers, no breaks."],
    dataDigest: "0".repeat(64),
  };
  const learning = createLearnService();
  const start = performance.now();
  let seconds = 0;
  const learnt = learning.learn(set, options).then((file) => {
    seconds = (performance.now() - start) / 1000;
    return file;
  });
  const framesPerSecond = await framesWhile(learnt);
  learning.close();
  const file = await learnt;
  const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", file));
  const sha256 = [...digest].map((byte) => byte.toString(16).padStart(2, "0")).join("");
  return { seconds, framesPerSecond, idleFramesPerSecond, barePassSeconds, sha256, ...(await suggestions(file)) };
}

function barePass({ x, classes }: TrainingSet): number {
  const runs = Array.from({ length: 5 }, () => {
    const start = performance.now();
    let sum = 0;
    for (let c = 0; c < classes.length; c++) for (let k = 0; k < x.length; k++) sum += c * x[k]!;
    // Missing numbers make no sum; asking keeps the engine from leaving the loop out.
    return Number.isFinite(sum) ? Infinity : (performance.now() - start) / 1000;
  });
  return runs.sort((a, b) => a - b)[2]!;
}

/** A mark of a demo break changes between present and absent: until rules and model have both said what they make of it. */
async function suggestions(file: Uint8Array): Promise<Pick<LearningFigures, "suggestionMs" | "rulesMs">> {
  const model = createModelService();
  await model.open(file);
  const records = await demoBreaks();
  const views: ViewNumbers[] = (["machine", "takeUp"] as const).map((side) => ({
    side,
    kind: "face",
    values: Float32Array.from(FACE_VALUES, (_, k) => (k % 7) / 7),
  }));
  const suggestionMs: number[] = [];
  const rulesMs: number[] = [];
  for (let k = 0; k < 130; k++) {
    const record = withMarkChanged(records[k % records.length]!, k);
    const start = performance.now();
    const observations = observe(record);
    const asked = model.ask(vectorOf(observations, views), ["central_burst"]);
    const suggestion = suggest(observations);
    pool(suggestion, (await asked).answer, CAUTIOUS);
    const both = performance.now() - start;
    const again = performance.now();
    suggest(observe(record));
    // The first ones warm the engine up.
    if (k < 30) continue;
    suggestionMs.push(both);
    rulesMs.push(performance.now() - again);
  }
  model.close();
  return { suggestionMs, rulesMs };
}

async function demoBreaks(): Promise<readonly WireBreak[]> {
  const { breaks } = (await (await fetch("/samples/index.json")).json()) as { breaks: { number: string }[] };
  let last = 0;
  const newId = () => `bench-${String(last++)}`;
  const records: WireBreak[] = [];
  for (const { number } of breaks) {
    const [sheet] = parseObservationSheets(await (await fetch(`/samples/${number}/sheet.json`)).json());
    if (sheet)
      records.push(breakWithUnopenedPictures(sheet, { id: newId(), newId, at: "2026-01-01T00:00:00Z", by: "bench" }));
  }
  return records;
}

function withMarkChanged(record: WireBreak, k: number): WireBreak {
  const { machine } = record.ends;
  const turned = (mark: Mark): Mark => ({ ...mark, state: mark.state === "present" ? "absent" : "present" });
  const marks = machine.marks.map((mark, i) => (i === k % machine.marks.length ? turned(mark) : mark));
  return { ...record, ends: { ...record.ends, machine: { ...machine, marks } } };
}
