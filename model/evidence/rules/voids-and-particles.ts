import { particles, skinStart, sockets, testResult } from "../readings.ts";
import { found, say, type Found, type RuleRow } from "../rule.ts";
import { is, num, seen, seenOnBoth, type Sight } from "../sight.ts";
import { LIMITS } from "../thresholds.ts";

function freeSolidifiedWall(s: Sight): Found | null {
  const walls = seen(
    s,
    "end_hole",
    (f) => f.measures["wall_texture"] === "dendritic" || f.measures["wall_texture"] === "oxidised",
  );
  return walls.length === 0
    ? null
    : found(`The wall of the hole is ${String(walls[0]?.f.measures["wall_texture"])}.`, walls);
}

function cavityRunsOn(s: Sight): Found | null {
  if (s.live.length < 2) return null;
  const long = seenOnBoth(
    s,
    "end_hole",
    (f) =>
      is(f, "runs_past_break") ||
      (f.measures["shape"] === "parallel" && (num(f, "depth_d") ?? 0) >= LIMITS.holeRunsOn.value),
  );
  return long.length === 0
    ? null
    : found("The cavity runs on past the break on both sides, parallel, by 2 D or more.", long);
}

function holeTooSmall(s: Sight): Found | null {
  const holes = seen(s, "end_hole", (f) => num(f, "hole_d_over_D") !== null);
  const widest = Math.max(...holes.map((h) => num(h.f, "hole_d_over_D") ?? 0));
  if (holes.length === 0 || widest >= LIMITS.holeLarge.value) return null;
  if (skinStart(s).length > 0 || particles(s).length > 0) return null;
  const lost = Math.round(100 * widest ** 2);
  return found(
    `The hole of ${say(widest)} D takes ${lost} % of the section: it hardly breaks a wire alone, another start must be looked for.`,
    holes,
  );
}

function largeParticle(s: Sight): Found | null {
  const large = seen(s, "particle", (f) => {
    const atSkin = (num(f, "r_over_R") ?? 0) >= LIMITS.skin.value;
    const fits = (num(f, "size_over_D") ?? 0) >= LIMITS.particleLarge.value && is(f, "present_after_clean");
    return fits && (!atSkin || skinStart(s).length > 0);
  });
  const [first] = large;
  return first === undefined
    ? null
    : found(`A particle of ${say(num(first.f, "size_over_D"))} D is in place after cleaning.`, large);
}

function ferrous(s: Sight): Found | null {
  const magnetic = particles(s).filter((p) => is(p.f, "magnetic"));
  const [first] = magnetic;
  if (first !== undefined) {
    const sure = magnetic.some((p) => is(p.f, "present_after_clean"));
    return found(
      `The particle is magnetic: iron is foreign here${sure ? "" : "; not yet seen after cleaning"}.`,
      magnetic,
      {
        weaker: sure ? 0 : 1,
      },
    );
  }
  const prints = sockets(s);
  if (testResult(s, "magnet") !== true || prints.length === 0) return null;
  return found("A magnet picks up the residue of the socket: iron is foreign here.", prints, { weaker: 1 });
}

/** Words in the process notes that say the break repeats in one cast or coil. */
const REPEATS =
  /\b(second|third|fourth|fifth|\d+(nd|rd|th))\s+break\b.*\b(cast|coil|rod|heat)\b|\bsame (cast|coil|rod|heat)\b/i;

function repeats(s: Sight): Found | null {
  const { repeatsInCast, process } = s.context;
  if (repeatsInCast !== true && (repeatsInCast === false || process === null || !REPEATS.test(process))) return null;
  const holes = seenOnBoth(s, "end_hole");
  const grains = particles(s);
  const only = [
    ...(holes.length > 0 ? ["casting_void" as const] : []),
    ...(grains.length > 0 ? ["inclusion" as const] : []),
  ];
  if (only.length === 0) return null;
  return found("The break repeats in one cast or coil: look at the rod.", [...holes, ...grains], { only });
}

/**
 * Voids and particles (section of that name).
 *
 * Corrections to the table as first written:
 * - R38 counts one step less until the particle was seen after cleaning; a magnet on the residue of a socket counts the same.
 * - R37 leaves out a particle on the skin away from any start, as the description of the type does.
 * - R41 speaks only for what was seen: a void with holes in both ends, an inclusion with a particle. It reads the stated
 *   fact, or the words "second/third … break in one cast/coil" in the process notes.
 */
export const VOID_AND_PARTICLE_RULES: readonly RuleRow[] = [
  {
    id: "R34",
    group: "voids and particles",
    bears: "for",
    types: ["casting_void"],
    strength: "strong",
    reads: ["end_hole"],
    condition: freeSolidifiedWall,
    says: "A dendritic or oxidised wall of the hole speaks for a casting void.",
    reason: "That surface solidified freely.",
    sources: [],
    standing: "common-practice",
  },
  {
    id: "R35",
    group: "voids and particles",
    bears: "for",
    types: ["casting_void"],
    strength: "decisive",
    needsBothEnds: true,
    reads: ["end_hole"],
    condition: cavityRunsOn,
    says: "A parallel cavity that runs on in the section of both ends by 2 D or more speaks for a casting void.",
    reason: "A long cavity.",
    sources: [],
    standing: "common-practice",
  },
  {
    id: "R36",
    group: "voids and particles",
    bears: "against",
    types: ["casting_void"],
    strength: "moderate",
    reads: ["end_hole"],
    condition: holeTooSmall,
    says: "A hole below 0.3 D without another start is not enough to name a casting void.",
    reason: "A hole of x D leaves 1 − x² of the section; below 0.3 D the stress rises by less than 10 %.",
    sources: [],
    standing: "derived",
  },
  {
    id: "R37",
    group: "voids and particles",
    bears: "for",
    types: ["inclusion"],
    strength: "strong",
    oneEndSuffices: true,
    reads: ["particle"],
    condition: largeParticle,
    says: "A particle of 0.3 D or more, in place after cleaning, speaks for an inclusion.",
    reason: "It raises the drawing stress to 1.2–2.3 times at 0.4–0.8 D.",
    sources: ["yoshida"],
    standing: "published",
  },
  {
    id: "R38",
    group: "voids and particles",
    bears: "for",
    types: ["inclusion"],
    strength: "strong",
    oneEndSuffices: true,
    metals: ["copper", "aluminium"],
    reads: ["particle"],
    condition: ferrous,
    says: "A magnetic particle in copper or aluminium speaks for a foreign ferrous inclusion.",
    reason: "Iron is foreign there.",
    sources: ["wbfa-toc"],
    standing: "published",
  },
  {
    id: "R39",
    group: "voids and particles",
    bears: "gate",
    types: ["inclusion"],
    strength: "gate",
    reads: ["particle"],
    condition: (s) => {
      const loose = s.ends.flatMap((e) => e.loose.map((f) => ({ end: e.index, f })));
      return loose.length === 0
        ? null
        : found("A particle went away in cleaning and was not photographed before: it is not counted.", loose);
    },
    says: "A loose particle, gone after cleaning and not imaged before, is ignored.",
    reason: "It may be contamination.",
    sources: ["zipp"],
    standing: "published",
  },
  {
    id: "R40",
    group: "voids and particles",
    bears: "for",
    types: ["inclusion"],
    strength: "moderate",
    reads: ["neck", "particle"],
    condition: (s) => {
      for (const p of particles(s)) {
        const waist = seen(s, "neck", (f) => is(f, "one_sided")).filter((n) => n.end === p.end);
        if (waist.length > 0) return found("A one-sided waist lies next to the particle.", [p, ...waist]);
      }
      return null;
    },
    says: "A local one-sided waist next to a particle speaks for an inclusion; it is no reason to prefer an overload.",
    reason: "The wire thins locally downstream of the particle.",
    sources: ["yoshida"],
    standing: "published",
  },
  {
    id: "R41",
    group: "voids and particles",
    bears: "for",
    types: ["casting_void", "inclusion"],
    strength: "moderate",
    reads: [],
    condition: repeats,
    says: "The same cast or coil repeating with holes or the same particles speaks for an origin in the rod.",
    reason: "A common source.",
    sources: [],
    standing: "common-practice",
  },
];
