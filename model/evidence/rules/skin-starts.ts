import { linesAtStart, skinStart, testResult } from "../readings.ts";
import { found, say, type Found, type RuleRow } from "../rule.ts";
import { is, isNot, num, seen, seenOnBoth, type Seen, type Sight } from "../sight.ts";
import { LIMITS } from "../thresholds.ts";

/** Length from which a line is taken to run past the break when nobody said so. */
const runsPast = (f: Seen["f"]) =>
  is(f, "runs_past_break") || (!isNot(f, "runs_past_break") && (num(f, "length_d") ?? 0) >= 10);

function lineAcrossTheBreak(s: Sight): Found | null {
  if (linesAtStart(s).length === 0) return null;
  const lines = seenOnBoth(s, "longitudinal_line", runsPast);
  if (lines.length === 0 || lines.some((l) => isNot(l.f, "same_clock_both_ends"))) return null;
  const aligned = s.oneEnded || lines.some((l) => is(l.f, "same_clock_both_ends"));
  if (!aligned) return null;
  const length = lines.map((l) => say(num(l.f, "length_d"))).join(" and ");
  return found(
    `The fracture starts at the skin on a line that runs ${length} D past the break at one clock position.`,
    [...lines, ...skinStart(s)],
  );
}

function lineMadeHot(s: Sight): Found | null {
  const lines = linesAtStart(s).filter((l) => is(l.f, "oxide") || is(l.f, "decarb"));
  if (lines.length === 0) return null;
  const what = lines.some((l) => is(l.f, "decarb")) ? "a decarburised rim" : "oxide";
  return found(`The line at the start carries ${what}: it came with the rod.`, [
    ...lines,
    ...seen(s, "sliver", (f) => is(f, "oxide_under")),
  ]);
}

const repeatedCracks = (s: Sight) =>
  seen(s, "surface_crack", (f) => (num(f, "count") ?? LIMITS.cracksRepeated.value) >= LIMITS.cracksRepeated.value);

function drawingTears(s: Sight): Found | null {
  const cracks = repeatedCracks(s);
  const scores = seen(s, "drag_scoring");
  if (cracks.length === 0 || scores.length === 0) return null;
  const count = cracks.map((c) => say(num(c.f, "count"))).join(" and ");
  return found(`${count} cracks across the surface together with drag scoring.`, [...cracks, ...scores]);
}

function matchingNick(s: Sight): Found | null {
  const nicks = seen(s, "nick", (f) => is(f, "at_origin") && !isNot(f, "both_ends_match"));
  const matched = nicks.some((n) => is(n.f, "both_ends_match")) || new Set(nicks.map((n) => n.end)).size === 2;
  const [first] = nicks;
  if (first === undefined || !matched) return null;
  return found(`A nick ${say(num(first.f, "depth_over_D"))} D deep at the start matches on both ends.`, nicks);
}

function bystander(s: Sight): Found | null {
  const away = seen(s, "nick", (f) => isNot(f, "at_origin"));
  if (away.length === 0 || seen(s, "nick", (f) => is(f, "at_origin")).length > 0) return null;
  return found("The nick is not at the start of the fracture.", away);
}

function rubbedPatch(s: Sight): Found | null {
  const patches = seen(s, "bright_patch");
  const cracks = [...seen(s, "surface_crack"), ...seen(s, "bright_facets")];
  const start = skinStart(s);
  return patches.length === 0 || cracks.length === 0 || start.length === 0
    ? null
    : found("A bright rubbed patch with a crack lies at the start.", [...patches, ...cracks, ...start]);
}

const hardness = (s: Sight): number | null => {
  const values = [
    ...seen(s, "bright_patch").map((p) => num(p.f, "hv")),
    typeof s.context.tests.surface_hv === "number" ? s.context.tests.surface_hv : null,
  ].filter((x) => x !== null);
  return values.length === 0 ? null : Math.max(...values);
};

function whiteHardLayer(s: Sight): Found | null {
  const hv = hardness(s);
  if (testResult(s, "white_layer") !== true || hv === null || hv <= LIMITS.patchHardHv.value) return null;
  const at = [...seen(s, "bright_patch"), ...skinStart(s)];
  return at.length === 0 ? null : found(`White layer after the etch, ${say(hv)} HV, at the start.`, at);
}

function threeLookAlikes(s: Sight): Found | null {
  const marks = [...seen(s, "bright_patch"), ...seen(s, "surface_crack")];
  const start = skinStart(s);
  const side = seen(s, "secondary_crack");
  if (marks.length === 0 || start.length === 0 || (s.context.pickled !== true && side.length === 0)) return null;
  const tested = ["white_layer", "bake_recovers", "delayed_fracture"].some((key) => testResult(s, key) !== null);
  if (tested || hardness(s) !== null) return null;
  return found(
    `${seen(s, "bright_patch").length > 0 ? "A bright patch" : "Surface cracks"} at a skin start with ${s.context.pickled === true ? "acid history" : "side cracks"}, not etched, not hardness-tested, not baked.`,
    [...marks, ...start, ...side],
  );
}

/**
 * Starts at the skin (section of that name).
 *
 * Corrections to the table as first written:
 * - R42 takes a line of 10 D or more as running past the break when that was not stated, as the type description does.
 * - R43 needs the line at the start of the fracture ("that line"), not any line on the wire.
 * - R46 speaks of when the damage was done, so it adds no units.
 * - R50 is raised only when something on the skin could suggest friction martensite; the type stays out of reach in
 *   copper and aluminium in any case, since both rows that speak for it are for steel.
 * - R82 is lifted by the delayed-fracture test as well, one of the two proofs R71 accepts.
 */
export const SKIN_START_RULES: readonly RuleRow[] = [
  {
    id: "R42",
    group: "skin starts",
    bears: "for",
    types: ["surface_defect"],
    strength: "strong",
    reads: ["origin", "longitudinal_line"],
    condition: lineAcrossTheBreak,
    says: "A start at the skin on a line that runs past the break on both ends speaks for a surface defect.",
    reason: "A seam or lap runs on along the wire.",
    sources: ["liu2013"],
    standing: "published",
  },
  {
    id: "R43",
    group: "skin starts",
    bears: "for",
    types: ["surface_defect"],
    strength: "strong",
    reads: ["origin", "longitudinal_line", "sliver"],
    condition: lineMadeHot,
    says: "Oxide or a decarburised rim in the line at the start speaks for a surface defect of the rod.",
    reason: "Drawing is cold, it cannot make scale.",
    sources: [],
    standing: "common-practice",
  },
  {
    id: "R44",
    group: "skin starts",
    bears: "for",
    types: ["surface_defect"],
    strength: "strong",
    reads: ["surface_crack", "drag_scoring"],
    condition: drawingTears,
    says: "Repeated cracks across the surface with drag scoring speak for a surface defect made in drawing.",
    reason: "The lubrication failed.",
    sources: ["metallo-crack", "wbfa-toc"],
    standing: "published",
  },
  {
    id: "R45",
    group: "skin starts",
    bears: "for",
    types: ["mechanical_damage"],
    strength: "strong",
    oneEndSuffices: true,
    reads: ["nick"],
    condition: matchingNick,
    says: "A nick at the start that matches on both ends speaks for mechanical damage.",
    reason: "The notch is on both sides.",
    sources: [],
    standing: "common-practice",
  },
  {
    id: "R46",
    group: "skin starts",
    bears: "note",
    types: ["mechanical_damage"],
    strength: "moderate",
    reads: ["nick"],
    condition: (s) => {
      const worked = seen(s, "nick", (f) => is(f, "drawn_over"));
      return worked.length === 0
        ? null
        : found("The nick is smoothed and stretched: the damage happened before a die.", worked);
    },
    says: "A drawn-over nick was made before a die.",
    reason: "A die worked it.",
    sources: [],
    standing: "common-practice",
  },
  {
    id: "R47",
    group: "skin starts",
    bears: "against",
    types: ["mechanical_damage"],
    strength: "moderate",
    reads: ["nick", "origin"],
    condition: bystander,
    says: "A nick away from the start speaks against mechanical damage as the cause.",
    reason: "It is a bystander; file marks beside a weld break were not the cause.",
    sources: ["naumann"],
    standing: "published",
  },
  {
    id: "R48",
    group: "skin starts",
    bears: "for",
    types: ["surface_martensite"],
    strength: "strong",
    metals: ["steel"],
    reads: ["bright_patch", "surface_crack", "origin"],
    condition: rubbedPatch,
    says: "A bright patch with a crack at the start speaks for friction martensite in steel.",
    reason: "Rubbing made the skin hot enough to transform.",
    sources: ["metallo-mart"],
    standing: "published",
  },
  {
    id: "R49",
    group: "skin starts",
    bears: "for",
    types: ["surface_martensite"],
    strength: "decisive",
    metals: ["steel"],
    reads: ["bright_patch"],
    condition: whiteHardLayer,
    says: "A white layer above 700 HV at the start proves friction martensite.",
    reason: "The hardness proves it.",
    sources: [],
    standing: "common-practice",
  },
  {
    id: "R50",
    group: "skin starts",
    bears: "against",
    types: ["surface_martensite"],
    strength: "decisive",
    metals: ["copper", "aluminium"],
    reads: [],
    condition: (s) => {
      const marks = [...seen(s, "bright_patch"), ...seen(s, "surface_crack")];
      return marks.length === 0 && testResult(s, "white_layer") === null
        ? null
        : found(`${s.metal === "aluminium" ? "Aluminium" : "Copper"} has no martensite.`, marks);
    },
    says: "Copper and aluminium exclude friction martensite.",
    reason: "They have no martensite.",
    sources: [],
    standing: "common-practice",
  },
  {
    id: "R82",
    group: "skin starts",
    bears: "gate",
    types: ["surface_martensite", "surface_defect", "hydrogen_damage"],
    strength: "gate",
    stops: "types",
    metals: ["steel"],
    reads: ["bright_patch", "surface_crack", "secondary_crack", "origin"],
    condition: threeLookAlikes,
    says: "Patch or cracks at a skin start with acid history or side cracks: section, etch, hardness and bake decide.",
    reason: "Friction martensite, drawing tear and hydrogen look alike under a stereo microscope.",
    sources: [],
    standing: "common-practice",
  },
];
