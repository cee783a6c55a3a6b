import { flatPlanes, necks, particleAtTip, particles, sayReduction, sockets } from "../readings.ts";
import { found, say, type Firing, type Found, type RuleRow } from "../rule.ts";
import { is, num, seen, seenOnBoth, type Seen, type Sight } from "../sight.ts";
import { LIMITS } from "../thresholds.ts";

const CUP_OR_VOID = ["central_burst", "casting_void"] as const;
const END_NAME = { machine: "the machine end", spool: "the take-up end", unknown: "an end of unknown role" } as const;
const nameOf = (s: Sight, end: number) => END_NAME[s.ends[end === 0 ? 0 : 1].role];

const unreadable = (s: Sight) => s.ends.filter((e) => e.status !== "assessed" && e.kind !== "particle");
const WHY_NOT = {
  assessed: "was read",
  unmarked: "has not been looked at",
  "not-assessable": "cannot be assessed",
  "not-recovered": "was not recovered",
} as const;

function holeAlone(s: Sight): Found | null {
  const other = unreadable(s)[0];
  if (s.live.length === 0 || other === undefined) return null;
  const holes = seen(s, "end_hole").filter((h) => h.end !== other.index);
  if (holes.length === 0) return null;
  return found(`A hole in ${nameOf(s, holes[0]?.end ?? 0)}; the other end ${WHY_NOT[other.status]}.`, holes);
}

function coneFitsHole(s: Sight): Found | null {
  if (s.ra !== "suppressed" || particleAtTip(s)) return null;
  for (const [coneEnd, holeEnd] of [
    [0, 1],
    [1, 0],
  ] as const) {
    const at = (list: readonly Seen[], end: number) => list.filter((x) => x.end === end);
    const apex = at(seen(s, "cone_apex"), coneEnd);
    const flank = at(seen(s, "cone_flank"), coneEnd);
    const holes = at(seen(s, "end_hole"), holeEnd);
    const base = flank.map((x) => num(x.f, "cone_base_over_D")).find((x) => x !== null) ?? null;
    const hole = holes.map((x) => num(x.f, "hole_d_over_D")).find((x) => x !== null) ?? null;
    if (apex.length === 0 || base === null || hole === null || hole <= 0) continue;
    if (s.ends[coneEnd].present.has("end_hole") || s.ends[holeEnd].present.has("cone_apex")) continue;
    const fit = base / hole;
    if (fit < LIMITS.fitFrom.value || fit > LIMITS.fitTo.value) continue;
    return found(
      `The cone (base ${say(base)} D) on ${nameOf(s, coneEnd)} fits the hole (${say(hole)} D) in ${nameOf(s, holeEnd)}; ${sayReduction(s)}.`,
      [...apex, ...flank, ...holes, ...necks(s)],
    );
  }
  return null;
}

const VOID_WALLS: ReadonlySet<unknown> = new Set(["smooth", "dendritic", "oxidised"]);

/** Whether every measured end stays at or under a ratio; null = nothing measured. */
function raAtMost(s: Sight, limit: number): boolean | null {
  const read = s.ends.flatMap((e) => (e.reduction === null ? [] : [e.reduction]));
  if (read.length === 0) return null;
  return read.every((r) => (r.ratio === null ? r.state === "suppressed" : r.ratio <= limit));
}

function deepHolesBoth(s: Sight): Found | null {
  if (s.live.length < 2) return null;
  const holes = seenOnBoth(
    s,
    "end_hole",
    (f) =>
      (num(f, "hole_d_over_D") ?? 0) >= LIMITS.holeLarge.value &&
      (num(f, "depth_d") ?? 0) >= LIMITS.holeDeep.value &&
      VOID_WALLS.has(f.measures["wall_texture"]),
  );
  const small = raAtMost(s, LIMITS.raRatioVoid.value);
  if (holes.length === 0 || small === false) return null;
  const depth = holes.map(({ f }) => say(num(f, "depth_d"))).join(" and ");
  return found(`A hole in both ends, ${depth} D deep, ${sayReduction(s)}.`, [...holes, ...necks(s)], {
    weaker: small === null ? 1 : 0,
  });
}

function shallowCupsBoth(s: Sight): Found | null {
  if (s.live.length < 2 || !s.live.every((e) => e.reduction?.state === "full")) return null;
  const cups = seenOnBoth(s, "end_hole", (f) => {
    const depth = num(f, "depth_d");
    return depth === null ? f.measures["shape"] === "shallow" : depth < LIMITS.holeShallow.value;
  });
  const fibrous = (end: number) =>
    s.ends[end === 0 ? 0 : 1].present.has("fibrous_zone") ||
    cups.some((c) => c.end === end && c.f.measures["wall_texture"] === "fibrous");
  if (cups.length === 0 || !s.live.every((e) => fibrous(e.index))) return null;
  return found(`Shallow cups with a fibrous floor in both ends, ${sayReduction(s)}.`, [
    ...cups,
    ...seen(s, "fibrous_zone"),
    ...necks(s),
  ]);
}

function particleMeetsSocket(s: Sight): Found | null {
  for (const p of particles(s)) {
    const size = num(p.f, "size_over_D");
    if (size === null || size <= 0) continue;
    for (const hole of seen(s, "end_hole")) {
      const d = num(hole.f, "hole_d_over_D");
      const socket = hole.f.measures["wall_texture"] === "particle_imprint" || hole.f.measures["shape"] === "irregular";
      if (hole.end === p.end || d === null || !socket) continue;
      const fit = size / d;
      if (fit < LIMITS.fitFrom.value || fit > LIMITS.fitTo.value) continue;
      const sure = is(p.f, "present_after_clean");
      return found(
        `A particle of ${say(size)} D on ${nameOf(s, p.end)} and a socket of ${say(d)} D on ${nameOf(s, hole.end)}${sure ? "" : "; not yet seen after cleaning"}.`,
        [p, hole],
        { weaker: sure ? 0 : 1 },
      );
    }
  }
  return null;
}

function socketAlone(s: Sight): Found | null {
  const prints = sockets(s);
  if (!s.oneEnded || prints.length === 0 || particles(s).length > 0) return null;
  return found("A hollow with the print of a particle, no particle, and the other end cannot be read.", prints);
}

const cones = (s: Sight) => [...seen(s, "cone_apex"), ...seen(s, "cone_flank")];
const conesOnBoth = (s: Sight) => s.ends.every((e) => e.present.has("cone_apex") || e.present.has("cone_flank"));

/** Difference of the wire diameters in percent: as stated, else from the two outlines; null = unknown. */
function diametersDifferPct(s: Sight): number | null {
  if (s.context.d0AgreePct !== null) return Math.abs(s.context.d0AgreePct);
  const [a, b] = s.ends.map((e) => {
    const outline = e.present.get("wire_outline")?.[0];
    return outline === undefined ? null : num(outline, "d0_mm");
  });
  if (a === undefined || b === undefined || a === null || b === null || Math.max(a, b) <= 0) return null;
  return (100 * Math.abs(a - b)) / Math.max(a, b);
}

function endsNotNeighbours(s: Sight): Found | null {
  const differ = diametersDifferPct(s);
  if (differ !== null && differ > LIMITS.diameterDiffersPct.value)
    return found(`The wire diameters of the ends differ by ${say(differ)} %.`, seen(s, "wire_outline"));
  return s.context.mate === "no" ? found("The two faces do not mate in the photographs.") : null;
}

/** Where the comparison by machine and the judgement of a person pull apart, or nobody has judged yet. */
function facesReadNotToFit(s: Sight): Found | null {
  if (s.context.mateReading !== "do-not-fit" || s.context.mate === "no") return null;
  // A face that melted or was hit after the break has lost what its partner shows.
  if (seen(s, "melt_bead").length > 0 || s.ends.some((e) => e.damage.length > 0)) return null;
  return found(
    s.context.mate === "yes"
      ? "Laid over each other by machine the two faces do not fit, though they were judged to belong together: look again."
      : "Laid over each other by machine the two faces do not fit: check the labels and look for a missing piece.",
  );
}

function facesReadToFit(s: Sight): Found | null {
  return s.context.mateReading === "belong-together" && s.context.mate === "no"
    ? found("Laid over each other by machine the two faces fit, though they were judged not to: look again.")
    : null;
}

function endsLookDifferent(s: Sight): Found | null {
  const [a, b] = s.ends;
  if (s.live.length < 2 || a.kind === b.kind || [a, b].some((e) => e.kind === "unmarked")) return null;
  return found(
    `One end shows a ${a.kind.replaceAll("-", " ")} face, the other a ${b.kind.replaceAll("-", " ")} face.`,
    [...cones(s), ...seen(s, "end_hole"), ...particles(s)],
  );
}

function endsMirror(s: Sight): Found | null {
  if (!s.bothAssessed || s.ends.some((e) => e.kind !== "plain")) return null;
  const flat = flatPlanes(s);
  if (flat.length === 0 || seen(s, "fracture_plane").length !== flat.length) return null;
  return found("The ends are alike, flat, without hole or cone.", flat);
}

const FEATURE_WORDS: Readonly<Record<string, string>> = {
  beach_marks: "arrest lines",
  ratchet_marks: "ratchet marks",
  rock_candy: "a granular face",
  face_deposit: "a deposit",
  weld_band: "a joint band",
  twist_lines: "twisted draw lines of one hand",
};

function facesDisagree(s: Sight): Found | null {
  if (s.disputed.length === 0) return null;
  const what = s.disputed.map((d) => FEATURE_WORDS[d.feature] ?? d.feature).join(", ");
  return found(
    `The faces disagree about ${what}: it is not counted.`,
    s.disputed.flatMap((d) => d.seen),
  );
}

function burstShown(fired: readonly Firing[]): boolean {
  return fired.some(
    (f) => f.type === "central_burst" && f.bears === "for" && f.base !== "weak" && f.base !== "moderate",
  );
}

/**
 * Rules about what two ends allow to be concluded (section "Two ends").
 *
 * Corrections to the table as first written:
 * - R08 also holds while the reduction of area is unmeasured or grey: only full ductility explains two cones.
 * - R05 counts one step less until the particle was seen after cleaning (R39 says why).
 * - R09 also stops when the faces were judged from photographs not to mate.
 * - R81 also covers draw lines parallel to the axis on one end and a helix on the other.
 * - R12 is raised only when a burst is shown: without one there is no place of origin to state.
 */
export const TWO_END_RULES: readonly RuleRow[] = [
  {
    id: "R01",
    group: "two ends",
    bears: "gate",
    types: CUP_OR_VOID,
    strength: "gate",
    stops: "types",
    reads: ["end_hole"],
    condition: holeAlone,
    says: "One end with a hole, the other not to be read: neither central burst nor casting void may be concluded.",
    reason: "The cup of a burst and the mouth of a void look the same; they differ only in the partner.",
    sources: [],
    standing: "common-practice",
  },
  {
    id: "R02",
    group: "two ends",
    bears: "for",
    types: ["central_burst"],
    strength: "decisive",
    needsBothEnds: true,
    reads: ["end_hole", "cone_apex", "cone_flank", "neck"],
    condition: coneFitsHole,
    says: "A cone that fits the hole of the other end, with little necking, speaks for a central burst.",
    reason: "The cone fits the hollow and nothing necked.",
    sources: ["remmers", "murr"],
    standing: "published",
  },
  {
    id: "R03",
    group: "two ends",
    bears: "for",
    types: ["casting_void"],
    strength: "decisive",
    needsBothEnds: true,
    also: [{ bears: "against", type: "central_burst", strength: "strong" }],
    reads: ["end_hole", "neck"],
    condition: deepHolesBoth,
    says: "Deep holes in both ends with smooth, dendritic or oxidised walls and little necking speak for a casting void.",
    reason: "A cavity cut across leaves a hole on both sides; a burst cannot.",
    sources: [],
    standing: "common-practice",
  },
  {
    id: "R04",
    group: "two ends",
    bears: "for",
    types: ["tensile_overload"],
    strength: "strong",
    needsBothEnds: true,
    also: [{ bears: "against", type: "casting_void", strength: "strong" }],
    reads: ["end_hole", "fibrous_zone", "neck"],
    condition: shallowCupsBoth,
    says: "Shallow fibrous cups in both ends with full necking speak for a ductile overload.",
    reason: "A ductile rupture may share its lip so that both sides are cups.",
    sources: ["cupfract"],
    standing: "published",
  },
  {
    id: "R05",
    group: "two ends",
    bears: "for",
    types: ["inclusion"],
    strength: "decisive",
    needsBothEnds: true,
    reads: ["particle", "end_hole"],
    condition: particleMeetsSocket,
    says: "A particle on one end and a socket of its size on the other speak for an inclusion.",
    reason: "The halves match.",
    sources: ["yoshida"],
    standing: "published",
  },
  {
    id: "R06",
    group: "two ends",
    bears: "gate",
    types: ["inclusion", "casting_void"],
    strength: "gate",
    stops: "types",
    reads: ["end_hole", "particle"],
    condition: socketAlone,
    says: "A hollow with a particle print and no particle, the other end not to be read: inclusion or void stays open.",
    reason: "The particle may have dropped out.",
    sources: [],
    standing: "common-practice",
  },
  {
    id: "R07",
    group: "two ends",
    bears: "for",
    types: ["tensile_overload"],
    strength: "strong",
    metals: ["copper", "aluminium"],
    reads: ["cone_apex", "neck"],
    condition: (s) =>
      s.live.length === 2 && conesOnBoth(s) && s.live.every((e) => e.reduction?.state === "full")
        ? found(`Both ends are drawn to points, ${sayReduction(s)}.`, [...cones(s), ...necks(s)])
        : null,
    needsBothEnds: true,
    says: "Both ends drawn to points with full necking speak for a ductile overload of soft metal.",
    reason: "Pure soft metal necks to a point.",
    sources: [],
    standing: "common-practice",
  },
  {
    id: "R08",
    group: "two ends",
    bears: "gate",
    types: ["central_burst", "tensile_overload"],
    strength: "gate",
    stops: "every type",
    reads: ["cone_apex", "neck"],
    condition: (s) =>
      conesOnBoth(s) && s.ra !== "full"
        ? found(`Cones on both ends, ${sayReduction(s)}: check that they are one break.`, [...cones(s), ...necks(s)])
        : null,
    says: "Cones on both ends without full necking: the ends may not mate.",
    reason: "One burst leaves one cone.",
    sources: [],
    standing: "derived",
  },
  {
    id: "R09",
    group: "two ends",
    bears: "gate",
    types: [],
    strength: "gate",
    stops: "every type",
    reads: ["wire_outline"],
    condition: endsNotNeighbours,
    says: "Wire diameters more than 3 % apart, or faces that do not mate: check labels and look for a missing piece.",
    reason: "The ends are not neighbours.",
    sources: [],
    standing: "common-practice",
  },
  {
    id: "R109",
    group: "two ends",
    bears: "note",
    types: [],
    strength: "note",
    reads: [],
    condition: facesReadNotToFit,
    says: "Faces that do not fit when laid over each other by machine may belong to two breaks: a person judges.",
    reason: "Both faces come from one tear: outline, edges and grains must meet. A machine may be wrong about that.",
    sources: [],
    standing: "common-practice",
  },
  {
    id: "R110",
    group: "two ends",
    bears: "note",
    types: [],
    strength: "note",
    reads: [],
    condition: facesReadToFit,
    says: "Faces that fit when laid over each other by machine and were judged not to: look at the photographs again.",
    reason: "Judgement and reading contradict each other; the judgement stands until a person changes it.",
    sources: [],
    standing: "common-practice",
  },
  {
    id: "R10",
    group: "two ends",
    bears: "gate",
    types: [],
    strength: "gate",
    reads: ["face_damage"],
    condition: (s) => {
      const ruined = s.ends.flatMap((e) => e.damage.map((f) => ({ end: e.index, f })));
      return ruined.length === 0
        ? null
        : found(`The face of ${nameOf(s, ruined[0]?.end ?? 0)} is damaged: nothing there counts as absent.`, ruined);
    },
    says: "An end damaged over half of its face is not assessable.",
    reason:
      "Damaged ends lose features; the end that ran through is often hit as it leaves the machine. Keep it anyway.",
    sources: ["tips2012"],
    standing: "published",
  },
  {
    id: "R11",
    group: "two ends",
    bears: "note",
    types: [],
    strength: "note",
    reads: [],
    condition: endsLookDifferent,
    says: "The ends look different from each other: keep both.",
    reason: "The difference between the ends is evidence.",
    sources: ["tips2012"],
    standing: "published",
  },
  {
    id: "R12",
    group: "two ends",
    bears: "gate",
    types: [],
    restsOnOthers: true,
    strength: "gate",
    stops: "origin",
    reads: [],
    condition: (s, fired) => {
      const unknownRole = s.ends.some((e) => e.status !== "not-recovered" && e.role === "unknown");
      if (!burstShown(fired) || (!unknownRole && s.context.drawDirectionKnown)) return null;
      return found(
        `${unknownRole ? "The roles of the ends are" : "The draw direction is"} not recorded: no place of origin is stated.`,
      );
    },
    says: "Roles of the ends or draw direction unknown: the type may stand, the place of origin may not be stated.",
    reason: "The direction of the cone needs them.",
    sources: [],
    standing: "derived",
  },
  {
    id: "R13",
    group: "two ends",
    bears: "against",
    types: CUP_OR_VOID,
    strength: "moderate",
    needsBothEnds: true,
    reads: ["fracture_plane"],
    condition: endsMirror,
    says: "Ends that mirror each other, flat, without hole or cone, speak against central burst and casting void.",
    reason: "Both need a central feature.",
    sources: [],
    standing: "common-practice",
  },
  {
    id: "R81",
    group: "two ends",
    bears: "gate",
    types: [],
    strength: "gate",
    stops: "every type",
    reads: [],
    condition: facesDisagree,
    says: "A feature both faces must share is on one and absent from the other: undetermined until looked at again.",
    reason: "The same crack made both faces.",
    sources: [],
    standing: "derived",
  },
];
