import {
  flatPlanes,
  helices,
  jointBand,
  necks,
  particles,
  sayReduction,
  skinStart,
  testResult,
  withoutNeck,
} from "../readings.ts";
import { found, say, type Found, type RuleRow } from "../rule.ts";
import { is, isNot, num, raOnBoth, seen, seenOnBoth, type Sight } from "../sight.ts";
import { LIMITS } from "../thresholds.ts";

function jointZone(s: Sight): Found | null {
  const bands = seenOnBoth(s, "weld_band");
  if (bands.length > 0)
    return found(`A joint band at the break on ${s.oneEnded ? "the end that can be read" : "both ends"}.`, bands);
  const tints = seenOnBoth(s, "heat_tint", (f) => is(f, "symmetrical"));
  if (tints.length === 0 || seen(s, "melt_bead").length > 0) return null;
  return found("The same heat tint on both ends at the break.", tints);
}

const nearJoint = (s: Sight): boolean =>
  s.context.weldLogDistanceM !== null && Math.abs(s.context.weldLogDistanceM) <= LIMITS.jointNearM.value;

function weldStructure(s: Sight): Found | null {
  const shown = [
    ...(testResult(s, "spheroidised") === true ? ["spheroidised cementite"] : []),
    ...(testResult(s, "oxide_on_plane") === true ? ["oxide across the plane"] : []),
    ...(testResult(s, "grain_change") === true ? ["a change of grain size"] : []),
  ];
  return shown.length === 0 ? null : found(`The section at the break shows ${shown.join(" and ")}.`);
}

function twisted(s: Sight): Found | null {
  const lines = seenOnBoth(s, "twist_lines", (f) => (num(f, "helix_angle_deg") ?? 0) >= LIMITS.helix.value);
  if (lines.length === 0 || withoutNeck(s) === "no") return null;
  const swirls = seen(s, "swirl");
  const flat = flatPlanes(s);
  const planes = seen(s, "fracture_plane");
  const angle = lines.map((l) => say(num(l.f, "helix_angle_deg"))).join("° and ");
  const swirlLookedFor = s.ends.some((e) => e.absent.has("swirl"));
  if (swirls.length === 0) {
    if (swirlLookedFor) return null;
    return found(`Draw lines at ${angle}° to the axis, one hand; swirl not looked for.`, lines, { weaker: 1 });
  }
  const square = planes.length === 0 || flat.length > 0;
  return found(
    `Draw lines at ${angle}° to the axis, one hand, with a swirl on the face.`,
    [...lines, ...swirls, ...flat],
    {
      weaker: square ? 0 : 1,
    },
  );
}

function parallelLines(s: Sight): Found | null {
  const straight = seen(s, "twist_lines", (f) => (num(f, "helix_angle_deg") ?? 90) <= LIMITS.parallelLines.value);
  const absent = s.ends.some((e) => e.absent.has("twist_lines"));
  if (straight.length === 0 && !absent) return null;
  return helices(s).length > 0 ? null : found("The draw lines run parallel to the axis up to the break.", straight);
}

function bent(s: Sight): Found | null {
  const sets = seenOnBoth(
    s,
    "bend_set",
    (f) => (num(f, "bend_angle_deg") ?? 0) >= LIMITS.bendSet.value && !isNot(f, "both_ends"),
  );
  if (sets.length === 0 || !sets.some((b) => is(b.f, "lip_on_inside"))) return null;
  return found(
    `Bend set of ${sets.map((b) => say(num(b.f, "bend_angle_deg"))).join("° and ")}° in one plane, lip on the inner side.`,
    sets,
  );
}

function bentAfterwards(s: Sight): Found | null {
  const sets = seen(s, "bend_set");
  const [first] = sets;
  if (first === undefined || sets.some((b) => b.end !== first.end)) return null;
  const damage = seen(s, "face_damage").filter((d) => d.end === first.end);
  return damage.length === 0
    ? null
    : found("Bend set on one end only, with a damaged face: handled after the break.", [...sets, ...damage]);
}

function arrestLines(s: Sight): Found | null {
  const arcs = seenOnBoth(s, "beach_marks");
  const starts = seen(s, "origin", (f) => (num(f, "r_over_R") ?? 0) >= LIMITS.skin.value);
  const neck = withoutNeck(s);
  if (arcs.length === 0 || starts.length === 0 || neck === "no") return null;
  return found(
    `Arrest lines round a start at the rim on ${s.oneEnded ? "the face that can be read" : "both faces"}, ${sayReduction(s)}.`,
    [...arcs, ...starts],
    { weaker: neck === "unknown" ? 1 : 0 },
  );
}

function ratchets(s: Sight): Found | null {
  const marks = seen(s, "ratchet_marks", (f) => (num(f, "count") ?? 0) >= LIMITS.ratchets.value);
  const flat = [...flatPlanes(s), ...seen(s, "beach_marks")];
  const neck = withoutNeck(s);
  if (marks.length === 0 || flat.length === 0 || neck === "no") return null;
  return found(
    `${marks.map((m) => say(num(m.f, "count"))).join(" and ")} ratchet marks on a flat zone.`,
    [...marks, ...flat],
    {
      weaker: neck === "unknown" ? 1 : 0,
    },
  );
}

function flatWithoutArcs(s: Sight): Found | null {
  const flat = flatPlanes(s);
  if (flat.length === 0 || withoutNeck(s) === "no") return null;
  const named =
    seen(s, "beach_marks").length +
    seen(s, "ratchet_marks").length +
    seen(s, "swirl").length +
    helices(s).length +
    jointBand(s).length +
    seen(s, "heat_tint").length +
    seen(s, "end_hole").length +
    seen(s, "cone_apex").length +
    seen(s, "rock_candy").length +
    seen(s, "melt_bead").length +
    particles(s).length +
    skinStart(s).length;
  const proved = ["sem_striations", "bake_recovers", "void_chains"].some((key) => testResult(s, key) !== null);
  if (named > 0 || proved || nearJoint(s) || weldStructure(s) !== null) return null;
  return found("A flat face without neck, arcs, band or twist: fatigue is not excluded.", flat);
}

/**
 * Joint, twist, bend and cyclic breaks (section of that name).
 *
 * Corrections to the table as first written:
 * - R51 leaves out a heat tint beside a melt bead: that halo belongs to the melt, and it otherwise contradicted R74 in a
 *   break burnt on both ends.
 * - R55 needs "no neck", which its own reason states. It counts one step less when nobody looked for the swirl, or the
 *   plane is not square (brittle or delaminated steel), since the helix itself is what only a twist gives.
 * - R59 and R60 count one step less while the neck is unmeasured: unknown is not "no neck".
 * - R61 is raised only when nothing else names the flat face, and then it holds back every type: it says that the flat
 *   face proves nothing, while it must not undo a joint band or a helix.
 */
export const JOINT_TWIST_BEND_CYCLIC_RULES: readonly RuleRow[] = [
  {
    id: "R51",
    group: "joint, twist, bend, cyclic",
    bears: "for",
    types: ["weld_break"],
    strength: "strong",
    reads: ["weld_band", "heat_tint"],
    condition: jointZone,
    says: "A joint band or the same heat tint on both ends at the break speaks for a weld break.",
    reason: "A joint zone.",
    sources: ["liu2013"],
    standing: "published",
  },
  {
    id: "R52",
    group: "joint, twist, bend, cyclic",
    bears: "for",
    types: ["weld_break"],
    strength: "strong",
    reads: [],
    condition: (s) =>
      nearJoint(s) ? found(`A joint is recorded ${say(s.context.weldLogDistanceM)} m from the break.`) : null,
    says: "A joint recorded within 1 m of the break speaks for a weld break.",
    reason: "It is traceable.",
    sources: [],
    standing: "common-practice",
  },
  {
    id: "R53",
    group: "joint, twist, bend, cyclic",
    bears: "for",
    types: ["weld_break"],
    strength: "strong",
    reads: ["weld_band", "neck"],
    condition: (s) => {
      const bands = jointBand(s);
      return bands.length > 0 && raOnBoth(s, "full")
        ? found(`The neck lies inside a joint band, ${sayReduction(s)}.`, [...bands, ...necks(s)])
        : null;
    },
    says: "A full neck inside a joint band speaks for a weld break, not for an overload of sound wire.",
    reason: "A soft annealed zone.",
    sources: ["naumann"],
    standing: "published",
  },
  {
    id: "R54",
    group: "joint, twist, bend, cyclic",
    bears: "for",
    types: ["weld_break"],
    strength: "decisive",
    reads: [],
    condition: weldStructure,
    says: "Grain change, spheroidised cementite or an oxide plane in the section at the break proves a weld break.",
    reason: "The structure of a weld.",
    sources: ["naumann", "cu-conductors"],
    standing: "published",
  },
  {
    id: "R55",
    group: "joint, twist, bend, cyclic",
    bears: "for",
    types: ["torsion"],
    strength: "decisive",
    oneEndSuffices: true,
    reads: ["twist_lines", "swirl", "fracture_plane", "neck"],
    condition: twisted,
    says: "Draw lines as a helix of one hand on both ends with a swirl on a flat face speak for torsion.",
    reason: "Only a twist gives a helix and no reduction of area.",
    sources: ["ih-torsion"],
    standing: "published",
  },
  {
    id: "R56",
    group: "joint, twist, bend, cyclic",
    bears: "against",
    types: ["torsion"],
    strength: "strong",
    reads: ["twist_lines"],
    condition: parallelLines,
    says: "Draw lines parallel to the axis up to the break speak against torsion.",
    reason: "No twist happened.",
    sources: ["ih-torsion"],
    standing: "published",
  },
  {
    id: "R57",
    group: "joint, twist, bend, cyclic",
    bears: "for",
    types: ["bending"],
    strength: "strong",
    reads: ["bend_set"],
    condition: bent,
    says: "A bend set of 15° or more on both ends in one plane with an inner lip speaks for bending.",
    reason: "The wire bent for good before it broke.",
    sources: [],
    standing: "common-practice",
  },
  {
    id: "R58",
    group: "joint, twist, bend, cyclic",
    bears: "against",
    types: ["bending"],
    strength: "weak",
    reads: ["bend_set", "face_damage"],
    condition: bentAfterwards,
    says: "A bend set on one end only, with a damaged face, was made after the break.",
    reason: "The end whipped or was handled.",
    sources: [],
    standing: "common-practice",
  },
  {
    id: "R59",
    group: "joint, twist, bend, cyclic",
    bears: "for",
    types: ["fatigue"],
    strength: "decisive",
    oneEndSuffices: true,
    reads: ["beach_marks", "origin", "neck"],
    condition: arrestLines,
    says: "Arrest lines curved round a start at the rim on both faces, without a neck, speak for fatigue.",
    reason: "The crack grew step by step.",
    sources: ["beach"],
    standing: "published",
  },
  {
    id: "R60",
    group: "joint, twist, bend, cyclic",
    bears: "for",
    types: ["fatigue"],
    strength: "strong",
    oneEndSuffices: true,
    reads: ["ratchet_marks", "fracture_plane", "neck"],
    condition: ratchets,
    says: "Two or more ratchet marks on a flat zone without a neck speak for fatigue.",
    reason: "Several starts.",
    sources: ["ratchet"],
    standing: "published",
  },
  {
    id: "R61",
    group: "joint, twist, bend, cyclic",
    bears: "gate",
    types: ["fatigue", "weld_break", "torsion"],
    strength: "gate",
    stops: "every type",
    reads: ["beach_marks", "twist_lines", "weld_band"],
    condition: flatWithoutArcs,
    says: "A flat face without a neck and without arcs does not exclude fatigue.",
    reason: "A constant load leaves no arcs.",
    sources: ["ih-fatigue"],
    standing: "published",
  },
  {
    id: "R62",
    group: "joint, twist, bend, cyclic",
    bears: "against",
    types: ["fatigue"],
    strength: "strong",
    reads: [],
    condition: (s) =>
      s.context.firstTrip === true ? found("The wire was on its first trip and had not been flexed.") : null,
    says: "A wire on its first trip through the machine speaks against fatigue.",
    reason: "Not enough cycles.",
    sources: [],
    standing: "common-practice",
  },
];
