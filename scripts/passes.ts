import { readFile } from "node:fs/promises";
import { jsonFault } from "../model/break/json-fault.ts";
import { ASSUMED_LIMIT } from "../model/route/assumed-limit.ts";
import { computePass, type ComputedPass, type PassInput } from "../model/route/pass.ts";
import { RouteError } from "../model/route/route-error.ts";
import { sumDamage } from "../model/route/route-passes.ts";
import { exactly, type Band, type RouteValue } from "../model/route/value.ts";

const HELP = `Usage: npm run -s passes -- FILE [--limit B]

Reads passes (JSON: a list of objects, or one object; or CSV with a heading) and prints one line of JSON for each:
  semi_angle_deg, d_in_mm, d_out_mm, friction_m or mu, bearing_mm (left out = 0), back_tension (of flow stress, left
  out = 0), friction_low and friction_high (band of whichever friction is given), anneal_before (true = damage starts
  again)
Each line: {reduction, true_strain, elongation_ratio, delta, redundant_work, shear_factor, drawing_stress_ratio,
centreline_stress_ratio, damage_increment, damage_sum, void_growth_increment, critical_semi_angle_deg, in_fitted_range,
…}. A number that cannot be given is null and "outside" says why; "bands" holds low and high of each number.

  FILE       passes in drawing order; - reads standard input
  --limit B  limit of the centreline mean stress for critical_semi_angle_deg; ${ASSUMED_LIMIT.mean.toFixed(4)} is assumed when left out
  --help     this text

All passes are checked before anything is printed. Exit codes: 0 done, 2 bad input (line and field are named).
`;

const NUMBERS = [
  "semi_angle_deg",
  "d_in_mm",
  "d_out_mm",
  "friction_m",
  "mu",
  "bearing_mm",
  "back_tension",
  "friction_low",
  "friction_high",
] as const;
type Field = (typeof NUMBERS)[number];
type Given = { readonly [K in Field]?: number } & { readonly anneal_before: boolean };

const OTHER_FIELDS: readonly string[] = ["anneal_before", "name"];

class BadInput extends Error {}

async function standardInput(): Promise<string> {
  const chunks: Buffer[] = [];
  for await (const chunk of process.stdin) chunks.push(chunk as Buffer);
  return Buffer.concat(chunks).toString("utf8");
}

function readJson(text: string): readonly (readonly [string, Readonly<Record<string, unknown>>])[] {
  const fault = jsonFault(text);
  if (fault !== null)
    throw new BadInput(`line ${fault.line}, column ${fault.column}: this is not JSON: ${fault.sentence}`);
  const value: unknown = JSON.parse(text);
  const list: readonly unknown[] = Array.isArray(value) ? value : [value];
  return list.map((item, i) => {
    if (typeof item !== "object" || item === null || Array.isArray(item))
      throw new BadInput(`[${i}]: a pass is an object with fields.`);
    return [`[${i}]`, item as Readonly<Record<string, unknown>>] as const;
  });
}

function readCsv(text: string): readonly (readonly [string, Readonly<Record<string, unknown>>])[] {
  const lines = text.split(/\r\n|\r|\n/).map((line, i) => ({ line, at: i + 1 }));
  const [head, ...rows] = lines.filter(({ line }) => line.trim() !== "");
  const separator = head?.line.includes(";") ? ";" : head?.line.includes("\t") ? "\t" : ",";
  const names = (head?.line ?? "").split(separator).map((name) => name.trim());
  return rows.map(({ line, at }) => {
    const cells = line.split(separator).map((cell) => cell.trim());
    if (cells.length > names.length)
      throw new BadInput(`line ${at}: it has ${cells.length} cells, the heading has ${names.length}.`);
    const fields = names.flatMap((name, i): readonly (readonly [string, unknown])[] => {
      const cell = cells[i] ?? "";
      if (cell === "") return [];
      if (name === "anneal_before") return [[name, cell === "true" ? true : cell === "false" ? false : cell] as const];
      const number = Number(separator === "," ? cell : cell.replace(",", "."));
      return [[name, Number.isNaN(number) ? cell : number] as const];
    });
    return [`line ${at}`, Object.fromEntries(fields)] as const;
  });
}

function readPass(where: string, raw: Readonly<Record<string, unknown>>): Given {
  const bad = (field: string, sentence: string): never => {
    throw new BadInput(`${where}: ${field}: ${sentence}`);
  };
  for (const key of Object.keys(raw))
    if (!(NUMBERS as readonly string[]).includes(key) && !OTHER_FIELDS.includes(key))
      bad(key, "This field is not known here.");
  const numbers = NUMBERS.flatMap((field) => {
    const value = raw[field];
    if (value === undefined || value === null) return [];
    if (typeof value !== "number" || !Number.isFinite(value)) return [bad(field, "It must be a number.")];
    return [[field, value] as const];
  });
  const anneal = raw["anneal_before"] ?? false;
  if (typeof anneal !== "boolean") bad("anneal_before", "It must be true or false.");
  const given: Given = { ...Object.fromEntries(numbers), anneal_before: anneal === true };
  for (const field of ["semi_angle_deg", "d_in_mm", "d_out_mm"] as const)
    if (given[field] === undefined) bad(field, "It is missing; it must be a number.");
  if ((given.friction_m === undefined) === (given.mu === undefined))
    bad("friction_m", "Give friction_m, a shear factor, or mu, a Coulomb coefficient: one of them.");
  return given;
}

function inputOf(given: Given): PassInput {
  const friction = given.friction_m ?? given.mu ?? 0;
  const band: Band = { value: friction, low: given.friction_low ?? friction, high: given.friction_high ?? friction };
  return {
    semiAngleDeg: exactly(given.semi_angle_deg ?? 0),
    inMm: given.d_in_mm ?? 0,
    outMm: given.d_out_mm ?? 0,
    friction: { kind: given.friction_m === undefined ? "mu" : "m", ...band },
    bearingMm: given.bearing_mm ?? 0,
    backTension: given.back_tension ?? 0,
  };
}

const FIELD_OF: Readonly<Record<string, string>> = {
  "diameters-not-a-reduction": "d_out_mm",
  "semi-angle-out-of-range": "semi_angle_deg",
  "friction-out-of-range": "friction",
  "bearing-negative": "bearing_mm",
};

function compute(where: string, given: Given, limit: number): ComputedPass {
  try {
    return computePass(inputOf(given), limit);
  } catch (error) {
    if (!(error instanceof RouteError)) throw error;
    throw new BadInput(`${where}: ${FIELD_OF[error.code] ?? "limit"}: ${error.message}`);
  }
}

function line(given: Given, c: ComputedPass, damageSum: number | null, limit: number): string {
  const values: readonly (readonly [string, RouteValue])[] = [
    ["reduction", c.reduction],
    ["true_strain", c.trueStrain],
    ["elongation_ratio", c.elongationRatio],
    ["delta", c.delta],
    ["redundant_work", c.redundantWork],
    ["shear_factor", c.shearFactor],
    ["drawing_stress_ratio", c.drawingStressRatio],
    ["centreline_stress_ratio", c.centrelineStress],
    ["damage_increment", c.damageIncrement],
    ["void_growth_increment", c.voidGrowth],
    ["critical_semi_angle_deg", c.criticalSemiAngle],
  ];
  const of = (key: "outside" | "note") =>
    Object.fromEntries(values.flatMap(([name, v]) => (v[key] === undefined ? [] : [[name, v[key]]])));
  return JSON.stringify({
    ...Object.fromEntries(values.map(([name, v]) => [name, v.value])),
    damage_sum: damageSum,
    in_fitted_range: c.inFittedRange,
    drawable: c.drawable,
    risk: c.risk,
    limit,
    given,
    bands: Object.fromEntries(values.flatMap(([name, v]) => (v.value === null ? [] : [[name, [v.low, v.high]]]))),
    outside: of("outside"),
    notes: of("note"),
    formulas: Object.fromEntries(values.map(([name, v]) => [name, { formula: v.formula, source: v.source }])),
  });
}

const READ_FAULTS: Readonly<Record<string, string>> = {
  ENOENT: "there is no such file",
  EACCES: "this file may not be read",
  EISDIR: "this is a folder, not a file",
};

async function textOf(file: string): Promise<string> {
  try {
    return file === "-" ? await standardInput() : await readFile(file, "utf8");
  } catch (error) {
    const code = error instanceof Error && "code" in error ? String(error.code) : "";
    throw new BadInput(READ_FAULTS[code] ?? `it cannot be read (${code})`);
  }
}

async function linesOf(file: string, limit: number): Promise<readonly string[]> {
  const text = (await textOf(file)).replace(/^\uFEFF/, "");
  if (text.trim() === "") throw new BadInput("it is empty; passes are a JSON list, or CSV with a heading");
  const rows = /^\s*[[{]/.test(text) || file.endsWith(".json") ? readJson(text) : readCsv(text);
  const passes = rows.map(([where, raw]) => {
    const given = readPass(where, raw);
    return { given, computed: compute(where, given, limit) };
  });
  const summed = sumDamage(passes, (pass) => passes[passes.indexOf(pass) + 1]?.given.anneal_before === true);
  return summed.map((pass) => line(pass.given, pass.computed, pass.damageSum, limit));
}

async function main(args: readonly string[]): Promise<number> {
  if (args.includes("--help") || args.includes("-h")) {
    process.stdout.write(HELP);
    return 0;
  }
  const at = args.indexOf("--limit");
  const limit = at < 0 ? ASSUMED_LIMIT.mean : Number(args[at + 1] ?? Number.NaN);
  const rest = at < 0 ? args : [...args.slice(0, at), ...args.slice(at + 2)];
  const option = rest.find((arg) => arg.startsWith("-") && arg !== "-");
  const [file] = rest;
  const fault =
    option !== undefined
      ? `No option is called ${option}.`
      : Number.isFinite(limit)
        ? file === undefined || rest.length > 1
          ? "Name one file of passes."
          : null
        : "--limit takes a number, such as 0.67.";
  if (fault !== null || file === undefined) {
    process.stderr.write(`${fault ?? ""}\n\n${HELP}`);
    return 2;
  }
  try {
    const lines = await linesOf(file, limit);
    process.stdout.write(lines.map((text) => `${text}\n`).join(""));
    return 0;
  } catch (error) {
    if (!(error instanceof BadInput)) throw error;
    process.stderr.write(`${file === "-" ? "standard input" : file}: ${error.message}\nNothing was computed.\n`);
    return 2;
  }
}

process.exitCode = await main(process.argv.slice(2));
