import { jointBand, necks, particleAtTip, sayReduction, skinStart } from "../readings.ts";
import { found, say, type Found, type RuleRow } from "../rule.ts";
import { num, raOnBoth, seen, seenOnBoth, type Seen, type Sight } from "../sight.ts";
import { LIMITS } from "../thresholds.ts";

/** A start at the skin, a joint band, arrest lines or melted metal: the last ligament does not name such a break. */
const startsElsewhere = (s: Sight): boolean =>
  skinStart(s).length + jointBand(s).length + seen(s, "beach_marks").length + seen(s, "melt_bead").length > 0;

const isWide = (f: Seen["f"]) => (num(f, "diameter_over_D") ?? 0) >= LIMITS.fibrousWide.value;

function ductileCupAndCone(s: Sight): Found | null {
  if (!raOnBoth(s, "full") || startsElsewhere(s)) return null;
  const fibrous = seenOnBoth(s, "fibrous_zone", isWide);
  const lips = seenOnBoth(s, "shear_lip", (f) => (num(f, "lip_arc_fraction") ?? 0) >= LIMITS.lipMostOfRim.value);
  if (fibrous.length === 0 || lips.length === 0) return null;
  const zone = fibrous.map((x) => say(num(x.f, "diameter_over_D"))).join(" and ");
  const arc = lips.map((x) => say(num(x.f, "lip_arc_fraction"))).join(" and ");
  return found(`Fibrous middle ${zone} D, lip over ${arc} of the rim, ${sayReduction(s)}.`, [
    ...fibrous,
    ...lips,
    ...necks(s),
  ]);
}

const pairOf = (s: Sight, a: string, b: string) =>
  (s.ends[0].kind === a && s.ends[1].kind === b) || (s.ends[0].kind === b && s.ends[1].kind === a);
const coneFacesHole = (s: Sight) => pairOf(s, "cone", "hole");
const coneAndHole = (s: Sight) => [...seen(s, "cone_apex"), ...seen(s, "cone_flank"), ...seen(s, "end_hole")];

function flankToAxis(s: Sight): Found | null {
  if (particleAtTip(s)) return null;
  for (const end of s.live) {
    const apex = end.present.get("cone_apex") ?? [];
    const flanks = (end.present.get("cone_flank") ?? []).filter((f) => f.measures["flank_texture"] === "granular");
    const fibrous = end.present.get("fibrous_zone") ?? [];
    const noFibres =
      end.absent.has("fibrous_zone") ||
      (fibrous.length > 0 && fibrous.every((f) => (num(f, "diameter_over_D") ?? 1) < LIMITS.fibrousTrace.value));
    if (apex.length === 0 || flanks.length === 0 || !noFibres) continue;
    return found(
      "The granular flank reaches the axis and there is no fibrous centre.",
      [...apex, ...flanks, ...fibrous].map((f) => ({ end: end.index, f })),
    );
  }
  return null;
}

function lipRoundFibres(s: Sight): Found | null {
  if (startsElsewhere(s)) return null;
  for (const end of s.live) {
    const fibrous = (end.present.get("fibrous_zone") ?? []).filter(isWide);
    const lips = end.present.get("shear_lip") ?? [];
    if (fibrous.length === 0 || lips.length === 0) continue;
    return found(
      `The slant is confined to the rim round a fibrous middle of ${fibrous.map((f) => say(num(f, "diameter_over_D"))).join(" and ")} D.`,
      [...fibrous, ...lips].map((f) => ({ end: end.index, f })),
    );
  }
  return null;
}

function greyCupAndCone(s: Sight): Found | null {
  if (s.ra !== "grey" || !coneFacesHole(s) || furtherChevrons(s) !== null) return null;
  return found(`Cup and cone in the grey zone: ${sayReduction(s)}. A longitudinal section decides.`, [
    ...coneAndHole(s),
    ...necks(s),
  ]);
}

function furtherChevrons(s: Sight): Found | null {
  const chevrons = seen(s, "chevron", (f) => (num(f, "count") ?? 1) >= 1);
  if (chevrons.length === 0) return null;
  const count = chevrons.map((c) => say(num(c.f, "count") ?? 1)).join(" and ");
  return found(`The section shows ${count} further chevron${count === "1" ? "" : "s"}.`, chevrons);
}

function offAxis(s: Sight): Found | null {
  const off = [
    ...seen(s, "cone_apex", (f) => (num(f, "apex_offset_ratio") ?? 0) > LIMITS.offAxis.value),
    ...seen(s, "end_hole", (f) => (num(f, "offset_ratio") ?? 0) > LIMITS.offAxis.value),
  ];
  const [first] = off;
  if (first === undefined) return null;
  const r = num(first.f, "apex_offset_ratio") ?? num(first.f, "offset_ratio");
  return found(
    `Tip or hole lies ${say(r)} R off the axis: look for a particle, an off-centre void or a misaligned die.`,
    off,
  );
}

function lowButFullSteel(s: Sight): Found | null {
  const low = s.ends.filter(
    ({ reduction: r }) =>
      r !== null &&
      r.ratio !== null &&
      r.pct !== null &&
      r.ratio >= LIMITS.steelLowRaRatioFrom.value &&
      r.pct <= LIMITS.steelLowRaPct.value,
  );
  return low.length === 0
    ? null
    : found(`${sayReduction(s)}: low by nature in this steel, not evidence for a burst.`, necks(s));
}

function fullDuctility(s: Sight): Found | null {
  if (!raOnBoth(s, "full") || startsElsewhere(s)) return null;
  return found(
    `Full ductility on ${s.oneEnded ? "the end that can be read" : "both ends"}: ${sayReduction(s)}.`,
    necks(s),
  );
}

/**
 * Ductile cup-and-cone against central burst (section of that name).
 *
 * Corrections to the table as first written:
 * - R27, R24 and R78 are silent when the break starts elsewhere (skin, joint band, arrest lines, melt): R77 then names
 *   the start, and lip and neck are the final overload. R27 had no such guard and contradicted R77.
 * - R26 and R02 are silent when a particle sits at the tip: that cone was torn beside the particle.
 * - R28 is lifted when the section already shows further chevrons (R29), since the section is what it asks for.
 * - R29 speaks against a casting void as strong, not decisive: a wire can hold both.
 */
export const DUCTILE_OR_BURST_RULES: readonly RuleRow[] = [
  {
    id: "R24",
    group: "ductile or central burst",
    bears: "for",
    types: ["tensile_overload"],
    strength: "decisive",
    reads: ["neck", "fibrous_zone", "shear_lip"],
    condition: ductileCupAndCone,
    says: "Full necking, a fibrous middle and a lip round most of the rim on both ends speak for a ductile overload.",
    reason: "Voids join at the centre, then the lip tears on 45°.",
    sources: ["princeton", "cupfract"],
    standing: "published",
  },
  {
    id: "R25",
    group: "ductile or central burst",
    bears: "against",
    types: ["tensile_overload"],
    strength: "strong",
    needsBothEnds: true,
    reads: ["neck", "cone_apex", "end_hole"],
    condition: (s) =>
      s.ra === "suppressed" && coneFacesHole(s)
        ? found(`A cone faces a hole with ${sayReduction(s)}.`, [...coneAndHole(s), ...necks(s)])
        : null,
    says: "Little necking with a cone and a hollow speaks against a ductile overload.",
    reason: "No necking, no ductile overload.",
    sources: [],
    standing: "common-practice",
  },
  {
    id: "R26",
    group: "ductile or central burst",
    bears: "for",
    types: ["central_burst"],
    strength: "strong",
    reads: ["cone_apex", "cone_flank", "fibrous_zone"],
    condition: flankToAxis,
    says: "A granular flank that reaches the axis without a fibrous centre speaks for a central burst.",
    reason: "The fracture went along the 45° planes from the axis.",
    sources: [],
    standing: "common-practice",
  },
  {
    id: "R27",
    group: "ductile or central burst",
    bears: "for",
    types: ["tensile_overload"],
    strength: "strong",
    also: [{ bears: "against", type: "central_burst", strength: "strong" }],
    reads: ["fibrous_zone", "shear_lip"],
    condition: lipRoundFibres,
    says: "A slant confined to the rim round a flat fibrous middle speaks for a ductile overload.",
    reason: "That slant is the lip.",
    sources: ["cupfract"],
    standing: "published",
  },
  {
    id: "R28",
    group: "ductile or central burst",
    bears: "gate",
    types: ["tensile_overload", "central_burst"],
    strength: "gate",
    stops: "types",
    reads: ["neck", "chevron"],
    condition: greyCupAndCone,
    says: "Cup and cone with an RA ratio of 0.3–0.7: undetermined between overload and burst until sectioned.",
    reason: "Grey zone of the reduction of area.",
    sources: [],
    standing: "common-practice",
  },
  {
    id: "R29",
    group: "ductile or central burst",
    bears: "for",
    types: ["central_burst"],
    strength: "decisive",
    also: [{ bears: "against", type: "casting_void", strength: "strong" }],
    reads: ["chevron"],
    condition: furtherChevrons,
    says: "Further chevrons in the section speak for a central burst.",
    reason: "Other bursts in the same wire.",
    sources: ["cb-excerpt"],
    standing: "published",
  },
  {
    id: "R30",
    group: "ductile or central burst",
    bears: "against",
    types: ["central_burst"],
    strength: "weak",
    reads: ["chevron"],
    condition: (s) => {
      const longest = Math.max(...s.ends.map((e) => e.sectionLengthD ?? 0));
      return longest >= LIMITS.sectionLong.value
        ? found(`A section of ${say(longest)} D shows no further chevron.`)
        : null;
    },
    says: "A section of 100 D or more without a further chevron speaks weakly against a central burst.",
    reason: "Single bursts exist.",
    sources: [],
    standing: "common-practice",
  },
  {
    id: "R31",
    group: "ductile or central burst",
    bears: "note",
    types: [],
    strength: "note",
    metals: ["steel"],
    reads: ["neck"],
    condition: lowButFullSteel,
    says: "A low absolute reduction of area with a full ratio is no evidence for a burst in steel.",
    reason: "Hard steel necks little by nature.",
    sources: [],
    standing: "common-practice",
  },
  {
    id: "R32",
    group: "ductile or central burst",
    bears: "against",
    types: ["central_burst"],
    strength: "moderate",
    reads: ["cone_apex", "end_hole"],
    condition: offAxis,
    says: "A tip or hole more than 0.2 R off the axis speaks against a plain central burst.",
    reason: "A burst sits on the axis; wire drawn off the die axis alters its properties.",
    sources: ["misalign"],
    standing: "published",
  },
  {
    id: "R33",
    group: "ductile or central burst",
    bears: "for",
    types: ["tensile_overload"],
    strength: "moderate",
    reads: ["neck"],
    condition: (s) =>
      s.context.slipOrGrabLogged === true && raOnBoth(s, "full")
        ? found(`Slip or grab is logged, ${sayReduction(s)}.`, necks(s))
        : null,
    says: "A logged slip or grab with a full neck speaks for a ductile overload.",
    reason: "Stress over strength.",
    sources: [],
    standing: "common-practice",
  },
  {
    id: "R78",
    group: "ductile or central burst",
    bears: "for",
    types: ["tensile_overload"],
    strength: "strong",
    also: [{ bears: "against", type: "central_burst", strength: "strong" }],
    reads: ["neck"],
    condition: fullDuctility,
    says: "Full necking on both ends, outside any joint and with no start at the skin, speaks for a ductile overload.",
    reason: "The metal used its full ductility before parting.",
    sources: ["princeton", "tm-rope"],
    standing: "published",
  },
];
