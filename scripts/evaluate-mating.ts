import { existsSync } from "node:fs";
import { parseArgs } from "node:util";
import type { FaceFit } from "../model/break/wire-break.ts";
import { compareFaces } from "../model/picture/mating/compare-faces.ts";
import { MatingError } from "../model/picture/mating/mating-error.ts";
import { breaksWithTwoFaces, readFace } from "./evaluate-mating/faces.ts";
import { KINDS, pairsOf, type Pair } from "./evaluate-mating/pairs.ts";

const USAGE = `Usage: npm run evaluate-mating -- --dir DIR [--per-kind N] [--part I/N] [--lines]

Lays the faces of rendered breaks over each other, of one break and of strangers, and counts what is said of them.
Breaks with melted ends are left out: their faces froze after the break.

  --dir DIR     folder with one folder per break (observation sheet and pictures)
  --per-kind N  strangers of its own type per break (1)
  --part I/N    only the I-th of N parts of the pairs, from 1
  --lines       one JSON line per pair instead of the table

Exit codes: 0 all floors reached, 1 below a floor, 2 the command makes no sense.
`;

/** Of all pairs at least this share is read right; of mates and of strangers at most this share is read the wrong way. */
const FLOORS = { right: 0.95, falseAlarm: 0.01 } as const;
/** As the bench compares. */
const LONGEST_PX = 1100;

type Outcome = FaceFit["says"] | "refused";
interface Judged extends Pair {
  readonly says: Outcome;
}

async function judge(pair: Pair, seed: number, lines: boolean): Promise<Judged> {
  const machine = await readFace(pair.machine.faces.machine, LONGEST_PX, seed);
  const takeUp = await readFace(pair.takeUp.faces.spool, LONGEST_PX, seed + 0.5);
  try {
    const comparison = compareFaces(machine, takeUp);
    if (lines)
      console.log(
        JSON.stringify({
          kind: pair.kind,
          type: pair.machine.type,
          machine: pair.machine.id,
          takeUp: pair.takeUp.id,
          ...comparison,
        }),
      );
    return { ...pair, says: comparison.says };
  } catch (error) {
    if (!(error instanceof MatingError)) throw error;
    if (lines) console.log(JSON.stringify({ kind: pair.kind, machine: pair.machine.id, refused: error.code }));
    return { ...pair, says: "refused" };
  }
}

const percent = (n: number, of: number): string => (of === 0 ? "–" : `${((100 * n) / of).toFixed(1)} %`);

/** Prints the table. @returns whether all floors are reached. */
function report(judged: readonly Judged[]): boolean {
  const right = (j: Judged): boolean => j.says === (j.kind === "mates" ? "belong-together" : "do-not-fit");
  const wrong = (j: Judged): boolean => j.says === (j.kind === "mates" ? "do-not-fit" : "belong-together");
  const line = (name: string, of: readonly Judged[]): string => {
    const [r, w] = [of.filter(right).length, of.filter(wrong).length];
    const cells = [of.length, r, percent(r, of.length), of.length - r - w, percent(of.length - r - w, of.length), w];
    return `${name.padEnd(30)}${cells.map((c) => String(c).padStart(11)).join("")}${percent(w, of.length).padStart(11)}`;
  };
  const heads = ["pairs", "right", "", "cannot tell", "", "wrong", ""];
  console.log(`${"rendered faces".padEnd(30)}${heads.map((h) => h.padStart(11)).join("")}`);
  for (const kind of KINDS) {
    const of = judged.filter((j) => j.kind === kind);
    if (of.length > 0) console.log(line(kind, of));
  }
  const [mates, strangers] = [judged.filter((j) => j.kind === "mates"), judged.filter((j) => j.kind !== "mates")];
  console.log(line("all strangers", strangers));
  console.log(line("all", judged));
  console.log("\nmates by type");
  for (const type of [...new Set(mates.map((j) => j.machine.type))].sort())
    console.log(
      line(
        `  ${type}`,
        mates.filter((j) => j.machine.type === type),
      ),
    );
  const misses = judged.filter((j) => !right(j));
  if (misses.length > 0) console.log("\nnot right:");
  for (const j of misses)
    console.log(`  ${j.machine.id} with ${j.takeUp.id} (${j.kind}, ${j.machine.type}): ${j.says}`);
  const share = (of: readonly Judged[], test: (j: Judged) => boolean): number =>
    of.length === 0 ? 0 : of.filter(test).length / of.length;
  const reached = [
    ["right, of all", share(judged, right), ">=", FLOORS.right],
    ["mates said not to fit", share(mates, wrong), "<=", FLOORS.falseAlarm],
    ["strangers said to belong together", share(strangers, wrong), "<=", FLOORS.falseAlarm],
  ] as const;
  console.log("");
  let all = true;
  for (const [what, value, sign, floor] of reached) {
    const good = sign === ">=" ? value >= floor : value <= floor;
    all &&= good;
    console.log(`${good ? "reached" : "MISSED "}  ${what}: ${(100 * value).toFixed(1)} % (${sign} ${100 * floor} %)`);
  }
  return all;
}

async function main(words: readonly string[]): Promise<number> {
  let values;
  try {
    ({ values } = parseArgs({
      args: [...words],
      options: {
        dir: { type: "string" },
        "per-kind": { type: "string", default: "1" },
        part: { type: "string", default: "1/1" },
        lines: { type: "boolean", default: false },
        help: { type: "boolean", default: false },
      },
    }));
  } catch (error) {
    console.error(`${error instanceof Error ? error.message : String(error)}\n\n${USAGE}`);
    return 2;
  }
  if (values.help) {
    console.log(USAGE);
    return 0;
  }
  const [part = NaN, parts = NaN] = values.part.split("/").map(Number);
  const perKind = Number(values["per-kind"]);
  const sound = Number.isInteger(part) && Number.isInteger(parts) && part >= 1 && part <= parts;
  if (values.dir === undefined || !existsSync(values.dir) || !sound || !Number.isInteger(perKind) || perKind < 0) {
    console.error(values.dir !== undefined && !existsSync(values.dir) ? `There is no folder ${values.dir}.` : USAGE);
    return 2;
  }
  const pairs = pairsOf(breaksWithTwoFaces(values.dir), perKind);
  if (pairs.length === 0) {
    console.error(`No break in ${values.dir} has an end-on picture with an outline of both ends.`);
    return 2;
  }
  const judged: Judged[] = [];
  for (const [i, pair] of pairs.entries()) if (i % parts === part - 1) judged.push(await judge(pair, i, values.lines));
  if (values.lines) return 0;
  return report(judged) ? 0 : 1;
}

process.exitCode = await main(process.argv.slice(2));
