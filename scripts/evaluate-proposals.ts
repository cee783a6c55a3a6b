import { existsSync } from "node:fs";
import { join } from "node:path";
import type { FeatureId } from "../model/evidence/features.ts";
import { printWorths } from "./evaluate-proposals/calibrate.ts";
import { figuresOf, quantile, type Figures } from "./evaluate-proposals/figures.ts";
import { FLOORS, type Floor } from "./evaluate-proposals/floors.ts";
import { judgePicture, type JudgedMark, type JudgedPicture } from "./evaluate-proposals/judge.ts";
import { truePictures } from "./evaluate-proposals/truth.ts";

const HELP = `Usage: npm run evaluate-proposals -- --split propose-dev|propose-held-out [--dir DIR] [--view end|side] [--worst N] [--calibrate]

Looks for marks in rendered photographs with known truth and prints how far the proposals are from it.

  --split S   folder of the corpus: propose-dev to develop on, propose-held-out for the final figures
  --dir DIR   where the corpora lie; .corpus when left out. A folder of samples works too (--split D-003 --dir samples)
  --view V    only end-on or only side pictures
  --calibrate prints how often the end-on finder was right, by how sure it was, instead of the figures
  --worst N   names the N worst pictures of each feature
  --help      this text

Exit codes: 0 all floors reached, 1 below a floor, 2 the command makes no sense.
`;

interface Asked {
  readonly folder: string;
  readonly split: string;
  readonly view: "end" | "side" | null;
  readonly worst: number;
  readonly calibrate: boolean;
}

function asked(words: readonly string[]): Asked | string {
  const given = new Map<string, string>();
  const calibrate = words.includes("--calibrate");
  const rest = words.filter((w) => w !== "--calibrate");
  for (let i = 0; i < rest.length; i += 2) {
    const [name, value] = [rest[i] ?? "", rest[i + 1]];
    if (!["--split", "--dir", "--view", "--worst"].includes(name)) return `There is no option ${name}.`;
    if (value === undefined) return `${name} needs a value.`;
    given.set(name, value);
  }
  const split = given.get("--split");
  if (split === undefined) return "Say which corpus: --split propose-dev or --split propose-held-out.";
  const folder = join(given.get("--dir") ?? ".corpus", split);
  if (!existsSync(folder)) return `There is no folder ${folder}; render the corpora first.`;
  const view = given.get("--view") ?? null;
  if (view !== null && view !== "end" && view !== "side") return `--view is "end" or "side", not "${view}".`;
  const worst = Number(given.get("--worst") ?? 0);
  if (!Number.isInteger(worst) || worst < 0) return "--worst is a whole number.";
  return { folder, split, view, worst, calibrate };
}

type View = Floor["view"];
const FEATURES: Readonly<Record<View, readonly FeatureId[]>> = {
  "end-on": ["wire_outline", "end_hole", "shear_lip"],
  side: ["wire_outline", "neck", "cone_flank", "cone_apex", "fracture_plane"],
  "both views": ["wire_outline"],
};

const shown = (v: number | null): string => (v === null ? "–" : v.toFixed(3));
const percent = (part: number, whole: number): string => (whole === 0 ? "–" : `${((100 * part) / whole).toFixed(1)} %`);

function print(figures: Figures): void {
  const bad = figures.what.startsWith("overlap") ? "5th percentile" : "95th percentile";
  const lines = [
    `  ${figures.feature}: ${figures.what}`,
    `    shown on ${figures.shown}, proposed on ${figures.proposed} (${percent(figures.proposed, figures.shown)}), ` +
      `median ${shown(figures.median)}, ${bad} ${shown(figures.badEnd)}`,
  ];
  if (figures.without > 0)
    lines.push(
      `    stated absent on ${figures.without}, falsely proposed on ${figures.falseOnes} (${percent(figures.falseOnes, figures.without)})`,
    );
  for (const row of figures.calibration)
    lines.push(
      `    confidence ${row.confidence.toFixed(2)}: ${row.right} of ${row.n} right (${percent(row.right, row.n)})`,
    );
  console.log(lines.join("\n"));
}

function printWorst(feature: FeatureId, marks: readonly JudgedMark[], n: number): void {
  const larger = feature === "wire_outline" || feature === "end_hole";
  const badness = (m: JudgedMark): number =>
    m.truth !== "true" ? (m.confidence === null ? -9 : 9) : m.value === null ? -1 : larger ? 1 - m.value : m.value;
  const of = marks.filter((m) => m.feature === feature).sort((a, b) => badness(b) - badness(a));
  for (const m of of.slice(0, n))
    console.log(`      ${m.file}: ${m.truth}, ${shown(m.value)}, confidence ${shown(m.confidence)}`);
}

function report(view: View, pictures: readonly JudgedPicture[], worst: number): boolean {
  const of = (v: "end-on" | "side") => pictures.filter((p) => (p.picture.view === "end_on") === (v === "end-on"));
  const mine = view === "both views" ? pictures : of(view);
  // Both together only where both were asked for.
  if (mine.length === 0 || (view === "both views" && (of("end-on").length === 0 || of("side").length === 0)))
    return true;
  const ms = mine.map((p) => p.ms);
  console.log(
    `\n${view}: ${mine.length} rendered photographs; search ${shown(quantile(ms, 0.5))} ms median, ` +
      `${shown(quantile(ms, 0.95))} ms 95th percentile of processor time`,
  );
  const marks = mine.flatMap((p) => p.marks);
  const byFeature = new Map<string, Figures>();
  for (const feature of FEATURES[view]) {
    const figures = figuresOf(feature, marks);
    byFeature.set(feature, figures);
    print(figures);
    if (worst > 0) printWorst(feature, marks, worst);
  }
  let all = true;
  for (const floor of FLOORS.filter((f) => f.view === view)) {
    const holds = floor.holds(byFeature);
    if (holds === false) all = false;
    console.log(`  ${holds === null ? "not tested" : holds ? "reached" : "MISSED"}: ${floor.words}`);
  }
  return all;
}

async function main(words: readonly string[]): Promise<number> {
  if (words.includes("--help")) {
    console.log(HELP);
    return 0;
  }
  const task = asked(words);
  if (typeof task === "string") {
    console.error(`${task}\nnpm run evaluate-proposals -- --help tells what it takes.`);
    return 2;
  }
  const all = await truePictures(task.folder);
  const wanted = all.filter((p) => task.view === null || (p.view === "end_on") === (task.view === "end"));
  if (wanted.length === 0) {
    console.error(`${task.folder} holds no sheet.json that names a picture.`);
    return 2;
  }
  console.log(`Rendered photographs, not real ones: ${wanted.length} of ${task.split}.`);
  if (task.calibrate) {
    await printWorths(wanted);
    return 0;
  }
  const judged: JudgedPicture[] = [];
  for (const picture of wanted) judged.push(await judgePicture(picture));
  const reached = (["end-on", "side", "both views"] as const).map((view) => report(view, judged, task.worst));
  return reached.every(Boolean) ? 0 : 1;
}

process.exitCode = await main(process.argv.slice(2));
