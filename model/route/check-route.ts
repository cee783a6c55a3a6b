import { TRANSFER_KINDS } from "../evidence/observations.ts";
import type { DieSeries, Route } from "./route.ts";

export type RouteFaultCode =
  | "missing"
  | "not-a-number"
  | "not-a-text"
  | "not-a-list"
  | "not-an-object"
  | "out-of-range"
  | "not-a-reduction"
  | "not-one-of"
  | "does-not-follow"
  | "unknown-field"
  | "no-such-pass";

/** What is wrong in a route, field by field: `machines[1].dies[3].outMm`. */
export interface RouteFault {
  readonly field: string;
  readonly code: RouteFaultCode;
  /** Plain sentence with the reason. */
  readonly reason: string;
}

type Plain = Readonly<Record<string, unknown>>;

/** Largest difference between the diameter a die leaves and the one the next is said to take, parts of the diameter. */
const FOLLOWS_WITHIN = 0.02;
/** Coulomb coefficient above which the wire sticks where the die pressure equals the flow stress, 1/√3. */
const MOST_MU = 0.577;

class Faults {
  readonly found: RouteFault[] = [];
  add(field: string, code: RouteFaultCode, reason: string): null {
    this.found.push({ field, code, reason });
    return null;
  }
  object(value: unknown, field: string, keys: readonly string[]): Plain | null {
    if (typeof value !== "object" || value === null || Array.isArray(value))
      return this.add(field, value === undefined ? "missing" : "not-an-object", "This must be an object with fields.");
    for (const key of Object.keys(value))
      if (!keys.includes(key)) this.add(join(field, key), "unknown-field", "This field is not known here.");
    return value as Plain;
  }
  list(value: unknown, field: string): readonly unknown[] {
    if (Array.isArray(value)) return value as readonly unknown[];
    this.add(field, value === undefined ? "missing" : "not-a-list", "This must be a list.");
    return [];
  }
  number(value: unknown, field: string, least: number, most: number, what: string): number | null {
    if (typeof value !== "number" || !Number.isFinite(value))
      return this.add(field, value === undefined ? "missing" : "not-a-number", `${what} must be a number.`);
    if (value < least || value > most)
      return this.add(field, "out-of-range", `${what} lies between ${least} and ${most}; this is ${value}.`);
    return value;
  }
  numberOrNull(value: unknown, field: string, least: number, most: number, what: string): number | null {
    return value === null ? null : this.number(value, field, least, most, what);
  }
  text(value: unknown, field: string, orNull = false): void {
    if (typeof value === "string" || (orNull && value === null)) return;
    this.add(field, value === undefined ? "missing" : "not-a-text", "This must be a text.");
  }
}

const join = (field: string, key: string): string => (field === "" ? key : `${field}.${key}`);
const DIAMETER = [0.001, 100] as const;

function checkFriction(value: unknown, field: string, f: Faults): void {
  const o = f.object(value, field, ["kind", "value", "low", "high"]);
  if (o === null) return;
  if (o["kind"] !== "mu" && o["kind"] !== "m") {
    f.add(`${field}.kind`, "not-one-of", 'Friction is "mu", a Coulomb coefficient, or "m", a shear factor.');
    return;
  }
  const most = o["kind"] === "mu" ? MOST_MU : 1;
  const what = o["kind"] === "mu" ? "A Coulomb coefficient" : "A shear factor";
  const [low, middle, high] = (["low", "value", "high"] as const).map((k) =>
    f.number(o[k], `${field}.${k}`, 0, most, what),
  );
  if (low === null || middle === null || high === null) return;
  if (low! > middle! || middle! > high!)
    f.add(`${field}.value`, "out-of-range", "The friction lies between the low and the high end of its band.");
}

function checkWear(value: unknown, field: string, f: Faults): void {
  if (value === null) return;
  const o = f.object(value, field, ["outMm", "entrySemiAngleDeg", "ring"]);
  if (o === null) return;
  if (o["outMm"] !== undefined) f.number(o["outMm"], `${field}.outMm`, ...DIAMETER, "A diameter in mm");
  if (o["entrySemiAngleDeg"] !== undefined)
    f.number(o["entrySemiAngleDeg"], `${field}.entrySemiAngleDeg`, 0.5, 60, "A semi-angle in degrees");
  if (o["ring"] === undefined) return;
  const ring = f.object(o["ring"], `${field}.ring`, ["depthMm", "widthMm"]);
  if (ring === null) return;
  f.number(ring["depthMm"], `${field}.ring.depthMm`, 0, 5, "The depth of a wear ring in mm");
  f.number(ring["widthMm"], `${field}.ring.widthMm`, 0.001, 50, "The width of a wear ring in mm");
}

const DIE_FIELDS = [
  "name",
  "inMm",
  "outMm",
  "semiAngleDeg",
  "bearingMm",
  "lubricant",
  "friction",
  "tonnes",
  "wear",
] as const;

/** @returns the diameter the die leaves, or the one before when it cannot be told */
function checkDie(value: unknown, field: string, before: number | null, f: Faults): number | null {
  const o = f.object(value, field, DIE_FIELDS);
  if (o === null) return before;
  f.text(o["name"], `${field}.name`);
  const given = f.numberOrNull(o["inMm"], `${field}.inMm`, ...DIAMETER, "A diameter in mm");
  const nominal = f.number(o["outMm"], `${field}.outMm`, ...DIAMETER, "A diameter in mm");
  f.number(o["semiAngleDeg"], `${field}.semiAngleDeg`, 0.5, 45, "A semi-angle, half of the full die angle,");
  f.numberOrNull(o["bearingMm"], `${field}.bearingMm`, 0, 100, "A bearing length in mm");
  f.text(o["lubricant"], `${field}.lubricant`, true);
  checkFriction(o["friction"], `${field}.friction`, f);
  f.numberOrNull(o["tonnes"], `${field}.tonnes`, 0, 1e6, "Tonnes drawn since renewal");
  checkWear(o["wear"], `${field}.wear`, f);
  if (given !== null && before !== null && Math.abs(given / before - 1) > FOLLOWS_WITHIN)
    f.add(
      `${field}.inMm`,
      "does-not-follow",
      `The wire before it is ${before} mm, this die is said to take ${given} mm.`,
    );
  const worn = (o["wear"] as { readonly outMm?: unknown } | null | undefined)?.outMm;
  const out = typeof worn === "number" ? worn : nominal;
  const inMm = given ?? before;
  if (inMm !== null && out !== null && out >= inMm)
    f.add(
      `${field}.outMm`,
      "not-a-reduction",
      `The wire leaves at ${out} mm but enters at ${inMm} mm: a die makes it thinner.`,
    );
  return out ?? before;
}

function checkDieAt(value: unknown, field: string, counts: readonly number[], f: Faults): void {
  if (value === null) return;
  const o = f.object(value, field, ["machine", "die"]);
  if (o === null) return;
  const machine = o["machine"];
  const die = o["die"];
  const dies = typeof machine === "number" ? counts[machine] : undefined;
  if (dies === undefined || typeof die !== "number" || !Number.isInteger(die) || die < 0 || die >= dies)
    f.add(field, "no-such-pass", "The route has no such machine and die.");
}

function checkTransfer(value: unknown, field: string, f: Faults): void {
  const o = f.object(value, field, ["kind", "rewinds"]);
  if (o === null) return;
  if (o["kind"] !== null && !(TRANSFER_KINDS as readonly unknown[]).includes(o["kind"]))
    f.add(`${field}.kind`, "not-one-of", `A transfer is ${TRANSFER_KINDS.join(", ")}, or not known.`);
  const rewinds = f.number(o["rewinds"], `${field}.rewinds`, 0, 20, "The number of rewinds");
  if (rewinds !== null && !Number.isInteger(rewinds))
    f.add(`${field}.rewinds`, "out-of-range", "Rewinds are counted: this must be a whole number.");
}

/**
 * Reads a route and says what is wrong with it, field by field.
 *
 * @param value - anything, such as parsed JSON
 * @returns the route when nothing is wrong, else null with at least one fault
 */
export function checkRoute(value: unknown): {
  readonly route: Route | null;
  readonly faults: readonly RouteFault[];
} {
  const f = new Faults();
  const o = f.object(value, "", ["rodMm", "machines", "transfers", "anneals", "brokeAt"]);
  if (o === null) return { route: null, faults: f.found };
  let before = f.number(o["rodMm"], "rodMm", ...DIAMETER, "The rod diameter in mm");
  const machines = f.list(o["machines"], "machines");
  if (machines.length === 0 && f.found.length === 0) f.add("machines", "missing", "A route has at least one machine.");
  const counts = machines.map((machine, m) => {
    const field = `machines[${m}]`;
    const fields = f.object(machine, field, ["name", "dies"]);
    if (fields === null) return 0;
    f.text(fields["name"], `${field}.name`);
    const dies = f.list(fields["dies"], `${field}.dies`);
    dies.forEach((die, d) => {
      before = checkDie(die, `${field}.dies[${d}]`, before, f);
    });
    return dies.length;
  });
  const transfers = f.list(o["transfers"], "transfers");
  transfers.forEach((t, i) => checkTransfer(t, `transfers[${i}]`, f));
  if (Array.isArray(o["transfers"]) && transfers.length !== Math.max(0, machines.length - 1))
    f.add("transfers", "does-not-follow", "There is one transfer between each machine and the next.");
  f.list(o["anneals"], "anneals").forEach((anneal, i) => {
    const fields = f.object(anneal, `anneals[${i}]`, ["after", "full"]);
    if (fields === null) return;
    checkDieAt(fields["after"], `anneals[${i}].after`, counts, f);
    if (typeof fields["full"] !== "boolean")
      f.add(`anneals[${i}].full`, "not-one-of", "An anneal is full, or it is not: true or false.");
  });
  checkDieAt(o["brokeAt"], "brokeAt", counts, f);
  return f.found.length === 0 ? { route: value as Route, faults: [] } : { route: null, faults: f.found };
}

/**
 * Reads a stored series of dies and says what is wrong with it, field by field.
 *
 * @returns the series when nothing is wrong, else null with at least one fault
 */
export function checkDieSeries(value: unknown): {
  readonly series: DieSeries | null;
  readonly faults: readonly RouteFault[];
} {
  const f = new Faults();
  const o = f.object(value, "", ["name", "machine", "dies"]);
  if (o === null) return { series: null, faults: f.found };
  f.text(o["name"], "name");
  f.text(o["machine"], "machine");
  let before: number | null = null;
  f.list(o["dies"], "dies").forEach((die, d) => {
    before = checkDie(die, `dies[${d}]`, before, f);
  });
  return f.found.length === 0 ? { series: value as DieSeries, faults: [] } : { series: null, faults: f.found };
}
