import { jointBand, linesAtStart, rimWasRead, skinStart, slantPlanes, testResult } from "../readings.ts";
import { found, say, type Found, type RuleRow } from "../rule.ts";
import { is, isNot, num, seen, seenOnBoth, type Sight } from "../sight.ts";
import { LIMITS } from "../thresholds.ts";
import { isHighStrengthSteel, isOxideBearingCopper } from "../wire-class.ts";

const delayed = (s: Sight): boolean => (s.context.delayedH ?? 0) > 0 || testResult(s, "delayed_fracture") === true;

function singlePlane(s: Sight): Found | null {
  const slant = new Set(slantPlanes(s).map((p) => p.f));
  const planes = seenOnBoth(s, "fracture_plane", (f) => slant.has(f));
  const shares = planes.map((p) => num(p.f, "area_fraction")).filter((x) => x !== null);
  if (planes.length === 0 || shares.some((x) => x < LIMITS.slantShare.value)) return null;
  if (s.context.mate === "no" || s.context.mate === "unsure") return null;
  if (skinStart(s).length > 0 || jointBand(s).length > 0) return null;
  const read = rimWasRead(s);
  const angle = planes.map((p) => say(num(p.f, "angle_deg"))).join("° and ");
  return found(
    `One slant plane at ${angle}° to the axis across the face${read ? ", no start at the skin" : "; the rim was not read"}.`,
    planes,
    { weaker: (read ? 0 : 1) + (shares.length === 0 ? 1 : 0) },
  );
}

function slantFromSkin(s: Sight): Found | null {
  const slant = seen(s, "fracture_plane", (f) => {
    const profile = f.measures["profile"];
    const angle = num(f, "angle_deg");
    return (
      profile === "slant" ||
      profile === "stepped" ||
      (profile === undefined && angle !== null && angle >= 30 && angle <= 75)
    );
  });
  if (slant.length === 0) return null;
  const nicks = seen(s, "nick", (f) => is(f, "at_origin"));
  const lines = linesAtStart(s);
  if (nicks.length > 0)
    return found("The slant plane starts at a nick.", [...slant, ...nicks], { only: ["mechanical_damage"] });
  if (lines.length > 0)
    return found("The slant plane starts at a line along the wire.", [...slant, ...lines], {
      only: ["surface_defect"],
    });
  return null;
}

const oxideInSplit = (s: Sight) => seen(s, "longitudinal_line", (f) => is(f, "oxide") || is(f, "decarb")).length > 0;

function splitThroughAxis(s: Sight): Found | null {
  const splits = seen(
    s,
    "longitudinal_split",
    (f) => (num(f, "length_d") ?? 0) >= LIMITS.splitLong.value && is(f, "through_axis"),
  );
  if (splits.length === 0 || oxideInSplit(s)) return null;
  return found(
    `A split through the axis runs ${splits.map((x) => say(num(x.f, "length_d"))).join(" and ")} D past the break, no oxide.`,
    splits,
  );
}

const grains = (s: Sight) =>
  seen(s, "rock_candy", (f) => (num(f, "area_fraction") ?? LIMITS.granularShare.value) >= LIMITS.granularShare.value);

function steamCracked(s: Sight): Found | null {
  const clean = grains(s).filter((g) => isNot(g.f, "dark_oxide"));
  if (clean.length === 0 || s.context.hydrogenAnneal !== true || isOxideBearingCopper(s.context) !== true) return null;
  return found("A granular face without dark oxide, oxide-bearing copper, annealed in hydrogen.", clean);
}

function hotGrains(s: Sight): Found | null {
  const dark = grains(s).filter((g) => is(g.f, "dark_oxide"));
  return dark.length === 0 ? null : found("The facets of the granular face carry dark oxide.", dark);
}

function hydrogenSteel(s: Sight): Found | null {
  const facets = seen(s, "bright_facets");
  const side = seen(
    s,
    "secondary_crack",
    (f) => (num(f, "count") ?? LIMITS.sideCracks.value) >= LIMITS.sideCracks.value,
  );
  if (facets.length === 0 || side.length === 0 || s.context.pickled !== true) return null;
  if (!delayed(s) || !isHighStrengthSteel(s.context)) return null;
  return found("High-strength steel after acid, a delayed break, bright facets and side cracks.", [...facets, ...side]);
}

function hydrogenProved(s: Sight): Found | null {
  if (testResult(s, "bake_recovers") === true) return found("The ductility returns after baking.");
  return testResult(s, "delayed_fracture") === true && testResult(s, "strain_rate_sensitive") === true
    ? found("Delayed fracture and strain-rate sensitivity are shown by test.")
    : null;
}

function attacked(s: Sight): Found | null {
  const pits = seen(s, "corrosion_pit", (f) => is(f, "at_origin"));
  const deposits = seen(s, "face_deposit", (f) => !is(f, "removed_by_clean"));
  const branched = seen(s, "secondary_crack", (f) => is(f, "branched"));
  if (deposits.length === 0 || branched.length === 0) return null;
  const start = pits.length > 0 ? "A pit at the start" : "A stained part of the face";
  return found(`${start} with deposit and branched side cracks.`, [...pits, ...deposits, ...branched]);
}

function melted(s: Sight): Found | null {
  const beads = seen(s, "melt_bead");
  const coarse = beads.filter((b) => is(b.f, "coarse_grains"));
  const onBoth = s.live.length === 2 && new Set(beads.map((b) => b.end)).size === 2;
  if (coarse.length === 0 && !onBoth) return null;
  return found(onBoth ? "A melt bead on both ends." : "A melt bead with coarse grains behind it.", beads);
}

function lonelyBead(s: Sight): Found | null {
  const beads = seen(s, "melt_bead");
  const [first] = beads;
  if (first === undefined || melted(s) !== null) return null;
  const other = s.ends[first.end === 0 ? 1 : 0];
  const state = other.status === "assessed" ? "shows a normal fracture" : "cannot be read";
  return found(`A melt bead on one end only; the other end ${state}: it may have arced after the break.`, beads);
}

function grainsAlone(s: Sight): Found | null {
  const faces = seen(s, "rock_candy");
  if (faces.length === 0) return null;
  const cause = [steamCracked, hotGrains, hydrogenSteel, hydrogenProved, attacked, melted].some(
    (rule) => rule(s) !== null,
  );
  if (cause || testResult(s, "void_chains") === true || testResult(s, "eds_lead_bismuth") === true) return null;
  return found("A granular face, and nothing yet that tells its four causes apart.", faces);
}

/**
 * Slant, split, grains, hydrogen, heat and corrosion (section of that name).
 *
 * Corrections to the table as first written:
 * - R63 counts one step less while the rim was not read: "no skin start" must have been looked for. The share of the face
 *   may be stated on one of the two mating planes only, and a share nobody stated costs one step as well.
 * - R64 speaks for mechanical damage at a nick and for a surface defect at a line.
 * - R68 asks for dark oxide looked for and absent, not merely unmentioned.
 * - R69 is raised only when a granular face, a hydrogen anneal or void chains bring steam cracking up at all.
 * - R70 takes the words of the grade (pearlitic, rope, spring, high tensile …) where no strength is stated.
 * - R75 also holds back "overheated" when the other end is lost: what settles it, the other face, is missing.
 */
export const SLANT_SPLIT_GRAIN_HEAT_RULES: readonly RuleRow[] = [
  {
    id: "R63",
    group: "slant, split, grains, hydrogen, heat, corrosion",
    bears: "for",
    types: ["shear_45"],
    strength: "moderate",
    reads: ["fracture_plane", "longitudinal_line", "nick"],
    condition: singlePlane,
    says: "A slant plane of 35–55° over most of both faces without a start at the skin speaks for single-plane shear.",
    reason: "The metal slipped on one plane.",
    sources: ["rope-guide"],
    standing: "published",
  },
  {
    id: "R64",
    group: "slant, split, grains, hydrogen, heat, corrosion",
    bears: "for",
    types: ["surface_defect", "mechanical_damage"],
    strength: "strong",
    reads: ["fracture_plane", "longitudinal_line", "nick", "origin"],
    condition: slantFromSkin,
    says: "A slant plane that starts at a line or a nick speaks for that skin type, not for single-plane shear.",
    reason: "Inclined fractures come with surface flaws.",
    sources: ["liu2013"],
    standing: "published",
  },
  {
    id: "R65",
    group: "slant, split, grains, hydrogen, heat, corrosion",
    bears: "for",
    types: ["longitudinal_split"],
    strength: "strong",
    reads: ["longitudinal_split", "longitudinal_line"],
    condition: splitThroughAxis,
    says: "A split of 3 D or more through the axis without oxide speaks for longitudinal splitting.",
    reason: "Delamination along the drawn structure.",
    sources: ["tanaka2020", "delam2018"],
    standing: "published",
  },
  {
    id: "R66",
    group: "slant, split, grains, hydrogen, heat, corrosion",
    bears: "for",
    types: ["hydrogen_damage"],
    strength: "moderate",
    metals: ["steel"],
    reads: ["longitudinal_split"],
    condition: (s) => {
      const splits = seen(s, "longitudinal_split");
      return splits.length > 0 && s.context.pickled === true && delayed(s)
        ? found("A split with acid history and a delay before the break: bake and retest.", splits)
        : null;
    },
    says: "A split with acid or plating history and a delay speaks for hydrogen damage beside the split.",
    reason: "A published case of 4 mm galvanised wire.",
    sources: ["mukho"],
    standing: "published",
  },
  {
    id: "R67",
    group: "slant, split, grains, hydrogen, heat, corrosion",
    bears: "gate",
    types: ["hydrogen_damage", "hot_crack", "corrosion_scc", "overheated"],
    strength: "gate",
    stops: "types",
    reads: ["rock_candy", "face_deposit"],
    condition: grainsAlone,
    says: "A granular face alone leaves hydrogen, hot crack, corrosion and overheating open.",
    reason: "The same face has four causes.",
    sources: [],
    standing: "common-practice",
  },
  {
    id: "R68",
    group: "slant, split, grains, hydrogen, heat, corrosion",
    bears: "for",
    types: ["hydrogen_damage"],
    strength: "strong",
    metals: ["copper"],
    reads: ["rock_candy"],
    condition: steamCracked,
    says: "Oxide-bearing copper, a hydrogen anneal and a granular face without dark oxide speak for steam cracking.",
    reason: "Hydrogen and oxide make steam that opens the grain boundaries.",
    sources: ["b577"],
    standing: "published",
  },
  {
    id: "R69",
    group: "slant, split, grains, hydrogen, heat, corrosion",
    bears: "against",
    types: ["hydrogen_damage"],
    strength: "decisive",
    metals: ["copper"],
    reads: [],
    condition: (s) => {
      if (isOxideBearingCopper(s.context) !== false) return null;
      const marks = seen(s, "rock_candy");
      const raised = marks.length > 0 || s.context.hydrogenAnneal === true || testResult(s, "void_chains") === true;
      const ppm = s.context.oxygenPpm === null ? "by its grade" : `${say(s.context.oxygenPpm)} ppm oxygen`;
      return raised ? found(`The copper carries no oxide (${ppm}): it cannot steam-crack.`, marks) : null;
    },
    says: "Oxygen-free or deoxidised copper excludes steam cracking.",
    reason: "There is no oxide.",
    sources: ["b577"],
    standing: "published",
  },
  {
    id: "R70",
    group: "slant, split, grains, hydrogen, heat, corrosion",
    bears: "for",
    types: ["hydrogen_damage"],
    strength: "strong",
    metals: ["steel"],
    reads: ["bright_facets", "secondary_crack"],
    condition: hydrogenSteel,
    says: "High-strength steel, acid or plating history, a delay, bright facets and side cracks speak for hydrogen damage.",
    reason: "History and face together.",
    sources: ["he-excerpt"],
    standing: "published",
  },
  {
    id: "R71",
    group: "slant, split, grains, hydrogen, heat, corrosion",
    bears: "for",
    types: ["hydrogen_damage"],
    strength: "decisive",
    metals: ["steel"],
    reads: [],
    condition: hydrogenProved,
    says: "Ductility that returns after baking, or delayed fracture with strain-rate sensitivity, proves hydrogen damage.",
    reason: "The loss of ductility is reversible and takes time.",
    sources: ["mukho"],
    standing: "published",
  },
  {
    id: "R72",
    group: "slant, split, grains, hydrogen, heat, corrosion",
    bears: "for",
    types: ["hot_crack"],
    strength: "strong",
    reads: ["rock_candy"],
    condition: hotGrains,
    says: "Dark oxide on the facets of a granular face speaks for a hot crack.",
    reason: "It cracked while hot.",
    sources: [],
    standing: "common-practice",
  },
  {
    id: "R73",
    group: "slant, split, grains, hydrogen, heat, corrosion",
    bears: "for",
    types: ["corrosion_scc"],
    strength: "strong",
    reads: ["corrosion_pit", "face_deposit", "secondary_crack"],
    condition: attacked,
    says: "A pit at the start or a stained part of the face, with deposit and branched side cracks, speaks for corrosion.",
    reason: "Attack and stress together.",
    sources: ["scc-cu"],
    standing: "published",
  },
  {
    id: "R74",
    group: "slant, split, grains, hydrogen, heat, corrosion",
    bears: "for",
    types: ["overheated"],
    strength: "decisive",
    oneEndSuffices: true,
    reads: ["melt_bead"],
    condition: melted,
    says: "A melt bead on both ends, or on one with coarse grains behind it, speaks for overheating.",
    reason: "The metal melted.",
    sources: [],
    standing: "common-practice",
  },
  {
    id: "R75",
    group: "slant, split, grains, hydrogen, heat, corrosion",
    bears: "gate",
    types: ["overheated"],
    strength: "gate",
    stops: "every type",
    reads: ["melt_bead"],
    condition: lonelyBead,
    says: "A melt bead on one end only: judge the other end, it may have arced after the break.",
    reason: "A whipping end can arc in the annealer.",
    sources: [],
    standing: "common-practice",
  },
  {
    id: "R79",
    group: "slant, split, grains, hydrogen, heat, corrosion",
    bears: "for",
    types: ["shear_45"],
    strength: "moderate",
    reads: ["fracture_plane"],
    condition: (s) => {
      const slant = slantPlanes(s);
      return testResult(s, "sound_breaks_slant") === true && slant.length > 0
        ? found("Sound wire of the same lot also breaks slant in the tensile test.", slant)
        : null;
    },
    says: "Sound wire of the same lot breaking slant in the tensile test speaks for single-plane shear.",
    reason: "The slant is this wire's own way of breaking in tension.",
    sources: [],
    standing: "common-practice",
  },
  {
    id: "R80",
    group: "slant, split, grains, hydrogen, heat, corrosion",
    bears: "for",
    types: ["hydrogen_damage"],
    strength: "decisive",
    metals: ["copper"],
    reads: [],
    condition: (s) =>
      testResult(s, "void_chains") === true
        ? found("The section shows chains of clean voids on the grain boundaries.")
        : null,
    says: "Chains of clean voids on the grain boundaries in the section prove steam cracking of copper.",
    reason: "It is the sign the standard test uses.",
    sources: ["b577"],
    standing: "published",
  },
];
