import { END_PAIRS, type EndKind, type PairReading } from "./end-pairs.ts";
import type { FeatureId } from "./features.ts";
import type { EndRole, EvidenceContext, ObservedEnd, ObservedFeature, Observations } from "./observations.ts";
import { readReduction, type RaState, type Reduction } from "./reduction.ts";
import { LIMITS } from "./thresholds.ts";
import { metalOf, type Metal } from "./wire-class.ts";

/** Whether an end can be read. "unmarked" = it lies on the bench, but nobody has said anything of its face or skin. */
export type EndStatus = "assessed" | "unmarked" | "not-assessable" | "not-recovered";

/** One mark that counts, and the end it lies on. */
export interface Seen {
  readonly end: number;
  readonly f: ObservedFeature;
}

/** One end, with everything that does not count as evidence taken out. */
export interface EndSight {
  readonly index: number;
  readonly role: EndRole;
  readonly status: EndStatus;
  readonly kind: EndKind;
  readonly reduction: Reduction | null;
  readonly present: ReadonlyMap<FeatureId, readonly ObservedFeature[]>;
  readonly absent: ReadonlySet<FeatureId>;
  /** Features marked in any state, not assessable included. */
  readonly marked: ReadonlySet<FeatureId>;
  /** The damage that makes the end not assessable, if any. */
  readonly damage: readonly ObservedFeature[];
  /** Particles that went away in cleaning and were not photographed before: contamination. */
  readonly loose: readonly ObservedFeature[];
  /** Length of section in which chevrons were looked for and absent, in D; null = not stated. */
  readonly sectionLengthD: number | null;
}

/** What may be relied on in a break: the input of every rule. */
export interface Sight {
  readonly metal: Metal | null;
  readonly context: EvidenceContext;
  /** Always two: an end that was not delivered is "not-recovered". */
  readonly ends: readonly [EndSight, EndSight];
  /** Ends whose face can be read, marked or not. */
  readonly live: readonly EndSight[];
  /** Exactly one end can be read, the other is lost or damaged. */
  readonly oneEnded: boolean;
  /** Both ends can be read and have been looked at. */
  readonly bothAssessed: boolean;
  readonly pair: PairReading;
  /** Features both mating faces must share, present on one and looked for and absent on the other: not counted. */
  readonly disputed: readonly { readonly feature: FeatureId; readonly seen: readonly Seen[] }[];
  /** Full, suppressed or grey over all measured ends; null = not measured, or nothing to compare with. */
  readonly ra: RaState | null;
}

/** Measures of a mark, by kind; null = not given. */
export const num = (f: ObservedFeature, key: string): number | null => {
  const value = f.measures[key];
  return typeof value === "number" && Number.isFinite(value) ? value : null;
};
export const is = (f: ObservedFeature, key: string): boolean => f.measures[key] === true;
export const isNot = (f: ObservedFeature, key: string): boolean => f.measures[key] === false;

/** Features that stay readable when the face is ruined: those of the skin, of a section, or of melted metal. */
const SURVIVE_FACE_DAMAGE: ReadonlySet<FeatureId> = new Set<FeatureId>([
  "wire_outline",
  "longitudinal_line",
  "surface_crack",
  "twist_lines",
  "bend_set",
  "longitudinal_split",
  "heat_tint",
  "weld_band",
  "face_damage",
  "chevron",
  "sliver",
  "drag_scoring",
  "secondary_crack",
  "melt_bead",
  "bright_patch",
]);

/** Marks that say nothing of face or skin: an end with only these has not been looked at. */
const SAYS_LITTLE: ReadonlySet<FeatureId> = new Set<FeatureId>(["wire_outline", "neck", "face_damage"]);

/** Features the same crack must have left on both faces. @source derived: one crack makes both faces */
const SHARED: readonly FeatureId[] = [
  "beach_marks",
  "ratchet_marks",
  "rock_candy",
  "face_deposit",
  "weld_band",
  "twist_lines",
];

const ruinsFace = (f: ObservedFeature) =>
  f.feature === "face_damage" &&
  (f.state === "not_assessable" ||
    (f.state === "present" && (num(f, "area_fraction") ?? 1) >= LIMITS.faceDamaged.value));
const isLoose = (f: ObservedFeature) =>
  f.feature === "particle" && f.state === "present" && isNot(f, "present_after_clean") && !is(f, "imaged_before_clean");

const LOST: ObservedEnd = { role: "unknown", recovered: false, views: [], features: [] };

interface Draft {
  readonly end: ObservedEnd;
  readonly status: EndStatus;
  readonly present: Map<FeatureId, ObservedFeature[]>;
  readonly absent: Set<FeatureId>;
  readonly damage: readonly ObservedFeature[];
  readonly loose: readonly ObservedFeature[];
}

function draft(end: ObservedEnd): Draft {
  const present = new Map<FeatureId, ObservedFeature[]>();
  const absent = new Set<FeatureId>();
  if (!end.recovered) return { end, status: "not-recovered", present, absent, damage: [], loose: [] };
  const damage = end.features.filter(ruinsFace);
  const ruined = damage.length > 0;
  let looked = false;
  for (const f of end.features) {
    if (f.state === "not_assessable") continue;
    if (ruined && (f.state === "absent" || !SURVIVE_FACE_DAMAGE.has(f.feature))) continue;
    if (!SAYS_LITTLE.has(f.feature)) looked = true;
    if (f.state === "absent") absent.add(f.feature);
    else if (!isLoose(f)) {
      const list = present.get(f.feature);
      if (list === undefined) present.set(f.feature, [f]);
      else list.push(f);
    }
  }
  for (const feature of present.keys()) absent.delete(feature);
  const status: EndStatus = ruined ? "not-assessable" : looked ? "assessed" : "unmarked";
  return { end, status, present, absent, damage, loose: end.features.filter(isLoose) };
}

/** Whether a mark claims that the thing is there: draw lines at 0° and a deposit that washes off are not. */
function shows(f: ObservedFeature): boolean {
  if (f.feature === "twist_lines")
    return (num(f, "helix_angle_deg") ?? LIMITS.helix.value) > LIMITS.parallelLines.value;
  if (f.feature === "face_deposit") return !is(f, "removed_by_clean");
  return true;
}
const saysAbsent = (d: Draft, feature: FeatureId) =>
  d.absent.has(feature) || (feature === "twist_lines" && (d.present.get(feature)?.some((f) => !shows(f)) ?? false));

function disputes(a: Draft, b: Draft): Sight["disputed"] {
  const found: { feature: FeatureId; seen: Seen[] }[] = [];
  const shown = (d: Draft, feature: FeatureId) => (d.present.get(feature) ?? []).filter(shows);
  for (const feature of SHARED) {
    const onA = shown(a, feature);
    const onB = shown(b, feature);
    const seen = [...onA.map((f) => ({ end: 0, f })), ...onB.map((f) => ({ end: 1, f }))];
    const oneSided = (onA.length > 0 && saysAbsent(b, feature)) || (onB.length > 0 && saysAbsent(a, feature));
    if (oneSided || (feature === "twist_lines" && handsDiffer(onA, onB))) found.push({ feature, seen });
  }
  return found;
}

function handsDiffer(a: readonly ObservedFeature[], b: readonly ObservedFeature[]): boolean {
  const hand = (list: readonly ObservedFeature[]) =>
    list.map((f) => f.measures["hand"]).find((h) => typeof h === "string");
  const [one, other] = [hand(a), hand(b)];
  return one !== undefined && other !== undefined && one !== other;
}

function kindOf(d: Draft): EndKind {
  if (d.status === "not-recovered" || d.status === "not-assessable") return d.status;
  if (d.present.get("particle")?.some((f) => !isNot(f, "present_after_clean"))) return "particle";
  const cone = d.present.has("cone_apex") || d.present.has("cone_flank");
  const hole = d.present.has("end_hole");
  if (cone) return hole ? "cone-and-hole" : "cone";
  if (hole) return "hole";
  return d.status === "unmarked" ? "unmarked" : "plain";
}

const sectionLengthOf = (end: ObservedEnd) =>
  end.features
    .filter((f) => f.feature === "chevron")
    .map((f) => num(f, "section_length_d"))
    .find((x) => x !== null) ?? null;

function combine(states: readonly RaState[]): RaState | null {
  const [first] = states;
  if (first === undefined) return null;
  return states.every((s) => s === first) ? first : "grey";
}

/** Reads a break: what counts on each end, what the two ends allow together, how far the wire necked. */
export function readBreak(o: Observations): Sight {
  const drafts = [draft(o.ends[0] ?? LOST), draft(o.ends[1] ?? LOST)] as const;
  const disputed = disputes(...drafts);
  for (const { feature } of disputed) for (const d of drafts) d.present.delete(feature);
  const view = (d: Draft, index: number): EndSight => {
    const outline = d.present.get("wire_outline")?.[0];
    const necks = d.present.get("neck") ?? [];
    return {
      index,
      role: d.end.role,
      status: d.status,
      kind: kindOf(d),
      reduction: necks.length === 0 ? null : readReduction(necks, outline ? num(outline, "d0_mm") : null, o.context),
      present: d.present,
      absent: d.absent,
      marked: new Set(d.end.features.map((f) => f.feature)),
      damage: d.damage,
      loose: d.loose,
      sectionLengthD: d.absent.has("chevron") ? sectionLengthOf(d.end) : null,
    };
  };
  const ends = [view(drafts[0], 0), view(drafts[1], 1)] as const;
  const live = ends.filter((e) => e.status === "assessed" || e.status === "unmarked");
  return {
    metal: metalOf(o.context),
    context: o.context,
    ends,
    live,
    oneEnded: live.length === 1,
    bothAssessed: ends.every((e) => e.status === "assessed"),
    pair: END_PAIRS[ends[0].kind][ends[1].kind],
    disputed,
    ra: combine(ends.flatMap((e) => (e.reduction === null ? [] : [e.reduction.state]))),
  };
}

/** Marks of a feature on either end that pass a test. */
export function seen(
  s: Sight,
  feature: FeatureId,
  test: (f: ObservedFeature) => boolean = () => true,
): readonly Seen[] {
  const found: Seen[] = [];
  for (const end of s.ends)
    for (const f of end.present.get(feature) ?? []) if (test(f)) found.push({ end: end.index, f });
  return found;
}

/**
 * Marks of a feature that pass a test on every end that can be read; empty when one of them lacks it.
 * With one end lost this is the one end alone: the weight of such a row is then reduced.
 */
export function seenOnBoth(
  s: Sight,
  feature: FeatureId,
  test: (f: ObservedFeature) => boolean = () => true,
): readonly Seen[] {
  const found = seen(s, feature, test);
  const live = s.live.length > 0 && s.live.every((e) => found.some((x) => x.end === e.index));
  return live ? found : [];
}

/** Whether every end that can be read was measured and reads so. */
export const raOnBoth = (s: Sight, state: RaState): boolean =>
  s.live.length > 0 && s.live.every((e) => e.reduction?.state === state);

/** Whether a feature was looked for and absent on any end. */
export const absentAnywhere = (s: Sight, feature: FeatureId): boolean => s.ends.some((e) => e.absent.has(feature));
