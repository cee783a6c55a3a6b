import { readFile } from "node:fs/promises";
import { jsonFault } from "../model/break/json-fault.ts";
import { parseObservationSheets } from "../model/break/observation-sheet.ts";
import type { ObservationSheet } from "../model/break/observation-sheet-types.ts";
import { RecordError } from "../model/break/record-error.ts";
import { suggest } from "../model/evidence/suggest.ts";
import type { FiredRule, RuleId, Suggestion } from "../model/evidence/suggestion.ts";
import type { BreakModel, ModelAnswer } from "../model/classifier/break-model.ts";
import { ClassifierError } from "../model/classifier/classifier-error.ts";
import { CAUTIOUS, pool } from "../model/classifier/pool.ts";
import { observeSheet } from "./observe-sheet.ts";

const HELP = `Usage: npm run -s suggest -- FILE… [--photos DIR [--propose] [--model MODEL.onnx]]

Reads observation sheets (JSON: one break, or a list of them) and prints one line of JSON for each break:
  {id, verdict, ranking:[{type, support}], gates:[rule], for:[rule], against:[rule], requests:[{id, text}], origin}
"verdict" is a break type or "undetermined"; "origin" is a sentence or null. A suggestion is no verdict on fitness.

With --photos each line also holds what earlier breaks say and both weighed together; the verdict stays that of the evidence:
  model:{ranking:[{type, probability}], unlike}, pooled:[{type, probability}]
The model that comes with Endpair is trained on rendered images only and not validated on photographs of real breaks.

  FILE         a file of sheets; - reads standard input
  --photos DIR the photographs that the sheets name lie in this folder
  --propose    take every mark proposed in the photographs, of features that a sheet does not mention
  --model FILE another model (npm run train)
  --help       this text

All files are checked before anything is printed. A photograph that cannot be read is named on standard error and left
out. Exit codes: 0 done, 1 some photograph could not be read, 2 bad input (file and field are named).
The form of a sheet is in scripts/schema/observation-sheet.schema.json.
`;

interface ReadFile {
  readonly name: string;
  readonly sheets: readonly ObservationSheet[];
  readonly faults: readonly string[];
}

async function standardInput(): Promise<string> {
  const chunks: Buffer[] = [];
  for await (const chunk of process.stdin) chunks.push(chunk as Buffer);
  return Buffer.concat(chunks).toString("utf8");
}

const READ_FAULTS: Readonly<Record<string, string>> = {
  ENOENT: "there is no such file",
  EACCES: "this file may not be read",
  EISDIR: "this is a folder, not a file",
};

async function read(file: string): Promise<ReadFile> {
  const name = file === "-" ? "standard input" : file;
  const bad = (...faults: string[]): ReadFile => ({ name, sheets: [], faults });
  let text: string;
  try {
    text = file === "-" ? await standardInput() : await readFile(file, "utf8");
  } catch (error) {
    const code = error instanceof Error && "code" in error ? String(error.code) : "";
    return bad(READ_FAULTS[code] ?? `it cannot be read (${code})`);
  }
  const bare = text.replace(/^\uFEFF/, "");
  if (bare.trim() === "") return bad("it is empty; a sheet is a JSON object or a list of them");
  const fault = jsonFault(bare);
  if (fault !== null) return bad(`line ${fault.line}, column ${fault.column}: this is not JSON: ${fault.sentence}`);
  try {
    return { name, sheets: parseObservationSheets(JSON.parse(bare)), faults: [] };
  } catch (error) {
    if (!(error instanceof RecordError)) throw error;
    return bad(...error.faults.map((f) => (f.field === "" ? f.sentence : `${f.field}: ${f.sentence}`)));
  }
}

/** Every identifier that an earlier file already gave. */
function givenTwice(files: readonly ReadFile[]): string[] {
  const first = new Map<string, string>();
  const faults: string[] = [];
  for (const file of files)
    file.sheets.forEach((sheet, i) => {
      const before = first.get(sheet.id);
      if (before === undefined) first.set(sheet.id, file.name);
      else faults.push(`${file.name}: [${i}].id: The break "${sheet.id}" was given already, in ${before}.`);
    });
  return faults;
}

const ruleIds = (rules: readonly FiredRule[]): readonly RuleId[] => [...new Set(rules.map((fired) => fired.rule))];

function line(id: string, s: Suggestion, said: ModelAnswer | null): string {
  return JSON.stringify({
    id,
    verdict: s.verdict,
    ranking: s.ranking.map(({ type, support }) => ({ type, support })),
    gates: ruleIds(s.gates),
    for: ruleIds(s.for),
    against: ruleIds(s.against),
    requests: s.requests.map((request) => ({ id: request.id, text: request.text })),
    origin: s.origin?.says ?? null,
    ...(said === null ? {} : { model: said, pooled: pool(s, said, CAUTIOUS).ranking }),
  });
}

interface Asked {
  readonly files: readonly string[];
  readonly photos: string | null;
  readonly propose: boolean;
  readonly model: string | null;
}

/** @returns a sentence when the command makes no sense. */
function asked(args: readonly string[]): Asked | string {
  const files: string[] = [];
  let [photos, model, propose]: [string | null, string | null, boolean] = [null, null, false];
  for (let i = 0; i < args.length; i++) {
    const arg = args[i]!;
    if (arg === "--propose") propose = true;
    else if (arg === "--photos" || arg === "--model") {
      const value = args[++i];
      if (value === undefined || value.startsWith("--")) return `${arg} needs a name after it.`;
      if (arg === "--photos") photos = value;
      else model = value;
    } else if (arg.startsWith("-") && arg !== "-") return `No option is called ${arg}.`;
    else files.push(arg);
  }
  if (files.length === 0) return "No file was named.";
  if (photos === null && (propose || model !== null)) return "--propose and --model need --photos.";
  return { files, photos, propose, model };
}

async function main(args: readonly string[]): Promise<number> {
  if (args.includes("--help") || args.includes("-h")) {
    process.stdout.write(HELP);
    return 0;
  }
  const task = asked(args);
  if (typeof task === "string") {
    process.stderr.write(`${task}\n\n${HELP}`);
    return 2;
  }
  const files: ReadFile[] = [];
  for (const file of new Set(task.files)) files.push(await read(file));
  const faults = [
    ...files.flatMap((file) => file.faults.map((fault) => `${file.name}: ${fault}`)),
    ...givenTwice(files),
  ];
  if (faults.length > 0) {
    process.stderr.write(`${faults.join("\n")}\nNothing was weighed.\n`);
    return 2;
  }
  const sheets = files.flatMap((file) => file.sheets);
  if (task.photos === null) {
    process.stdout.write(sheets.map((sheet) => `${line(sheet.id, suggest(observeSheet(sheet)), null)}\n`).join(""));
    return 0;
  }
  // Reading pictures and models takes longer to load than sheets take to weigh.
  const { modelIn, weighedWithPhotographs } = await import("./suggest/weighed-with-photographs.ts");
  let model: BreakModel;
  try {
    model = await modelIn(task.model);
  } catch (error) {
    const known = error instanceof ClassifierError || (error instanceof Error && "code" in error);
    if (!known) throw error;
    const next = error instanceof ClassifierError ? ` ${error.next}` : "";
    process.stderr.write(`${task.model ?? "the model of Endpair"}: ${error.message}${next}\nNothing was weighed.\n`);
    return 2;
  }
  let code = 0;
  for (const sheet of sheets) {
    const { suggestion, said, faults: unread } = await weighedWithPhotographs(sheet, task.photos, task.propose, model);
    for (const fault of unread) process.stderr.write(`${sheet.id}: ${fault}\n`);
    if (unread.length > 0) code = 1;
    process.stdout.write(`${line(sheet.id, suggestion, said)}\n`);
  }
  return code;
}

process.exitCode = await main(process.argv.slice(2));
