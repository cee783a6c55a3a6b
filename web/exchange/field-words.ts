import { findMark, findPhotograph } from "../../model/break/edits.ts";
import type { BreakContext, WireBreak } from "../../model/break/wire-break.ts";
import { BREAK_TYPE_NAMES } from "../../model/evidence/type-names.ts";
import { featureSpec, isFeatureId } from "../../model/evidence/features.ts";
import { idOfPart } from "../../model/reference/merge/fields.ts";
import { lies } from "../../model/reference/merge/settle.ts";

const CONTEXT: Readonly<Record<keyof BreakContext, string>> = {
  metal: "metal",
  grade: "grade",
  temper: "temper",
  nominalDiameterMm: "nominal diameter, mm",
  measuredDiameterMm: "measured diameter, mm",
  measuredDiameterUMm: "uncertainty of the measured diameter, mm",
  refRaPct: "reduction of area of the reference pull, %",
  refRaUPct: "its uncertainty, %",
  cast: "cast",
  rod: "rod",
  coil: "coil",
  spool: "spool",
  machine: "machine",
  position: "place on the machine",
  lineSpeedMps: "line speed, m/s",
  brokeAt: "when it broke",
  drawDirection: "draw direction",
  machineOrder: "order of the machines",
  reversals: "reversals",
  whichEndLeads: "which end leads",
  transfers: "transfers",
  passes: "passes",
  weldLogDistanceM: "distance to the joint in the weld log, m",
  weldLogClear: "weld log clear",
  oxygenPpm: "oxygen, ppm",
  hydrogenAnneal: "annealed in hydrogen",
  pickled: "pickled or plated",
  delayedH: "delay before it broke, h",
  firstTrip: "first trip through the machine",
  strengthMPa: "tensile strength, MPa",
  slipOrGrabLogged: "slip or grab logged",
  repeatsInCast: "broke this way before in the cast",
  tests: "test results",
  process: "process",
  notes: "notes",
};
const PLAIN: Readonly<Record<string, string>> = {
  number: "number of the break",
  rolesKnown: "which piece stayed in the machine is known",
  binnedAt: "in the bin",
  route: "drawing route",
  swapped: "which end is which",
  confirmed: "confirmed type",
};
const PARTS: Readonly<Record<string, string>> = {
  recovery: "recovered or not",
  note: "note",
  photographs: "photographs",
  marks: "marks",
  mate: "whether the ends belong together",
  d0AgreePct: "difference of the wire diameters",
  fit: "how the faces lie over each other",
  view: "view",
  turnDeg: "turn",
  scale: "scale",
  axisDeg: "direction of the wire axis",
  light: "light",
  seeing: "how it is looked at",
  deepTone: "black and white points",
  page: "page",
  turnedDown: "proposals turned down",
  feature: "feature",
  state: "present or absent",
  geometry: "outline",
  given: "measures",
  photographId: "photograph it lies on",
  proposed: "what was proposed",
};
const END = { machine: "machine end", takeUp: "take-up end" } as const;

/** Name of a fact in trade words. */
export const contextWords = (field: keyof BreakContext): string => CONTEXT[field];

/** Name of a field of a conflict in trade words. */
export function fieldWords(record: WireBreak, field: string, swapped = false): string {
  const [head = "", name = "", key] = field.split("/");
  const part = key === undefined ? "" : `: ${PARTS[key] ?? key}`;
  if (head === "context") return CONTEXT[name as keyof BreakContext] ?? name;
  if (head === "pairing") return PARTS[name] ?? name;
  if (head === "end") return `${END[lies(name, swapped)]}${part}`;
  if (head === "photograph") {
    const there = findPhotograph(record, idOfPart(name));
    return there === null ? `a photograph${part}` : `photograph ${there.photograph.fileName}${part}`;
  }
  if (head === "mark") {
    const there = findMark(record, idOfPart(name));
    return there === null
      ? `a mark${part}`
      : `mark “${featureSpec(there.mark.feature).name}” on the ${END[there.side]}${part}`;
  }
  return PLAIN[head] ?? head;
}

/** A value of a conflict, short enough for a cell. */
export function valueWords(field: string, value: unknown, swapped = false): string {
  const isThing = /^(photograph|mark)\/[^/]+$/.test(field);
  if (isThing) return value === undefined ? "taken out" : `stays on the ${END[lies(value, swapped)]}`;
  if (value === undefined || value === null || value === "") return "nothing";
  if (typeof value === "boolean") return value ? "yes" : "no";
  if (typeof value === "number") return String(value);
  if (typeof value === "string") {
    if (isFeatureId(value)) return featureSpec(value).name;
    if (value in BREAK_TYPE_NAMES) return BREAK_TYPE_NAMES[value as keyof typeof BREAK_TYPE_NAMES];
    const plain = /^[a-z]+(-[a-z]+)+$/.test(value) ? value.replaceAll("-", " ") : value;
    return plain.length > 200 ? `${plain.slice(0, 200)}…` : plain;
  }
  if (Array.isArray(value)) return value.length === 0 ? "none" : value.length === 1 ? "one" : String(value.length);
  return objectWords(value as Readonly<Record<string, unknown>>);
}

function objectWords(value: Readonly<Record<string, unknown>>): string {
  if (typeof value["type"] === "string") {
    const points = value["points"];
    return Array.isArray(points) ? `${value["type"]} of ${points.length} points` : String(value["type"]);
  }
  if (Array.isArray(value["machines"])) return `a route of ${value["machines"].length} machines`;
  const named = Object.entries(value)
    .filter(([, inner]) => inner !== null && typeof inner !== "object")
    .map(([key, inner]) => `${key.replaceAll("_", " ")} ${String(inner)}`);
  return named.length === 0 ? "nothing" : named.slice(0, 6).join(", ");
}
