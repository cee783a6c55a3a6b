import type { ObservationSheet, SheetFeature } from "../../model/break/observation-sheet-types.ts";
import type { Mark, WireBreak } from "../../model/break/wire-break.ts";
import { END_SIDES } from "../../model/break/wire-break.ts";
import { FEATURE_IDS, type FeatureId } from "../../model/evidence/features.ts";
import { breakWithUnopenedPictures } from "../../model/measure/paper-record.ts";
import type { Stream } from "../../model/classifier/seeded.ts";
import type { PixelNumbers } from "./corpus-break.ts";

/** How thorough the reader is who filled in a sheet. */
export interface Care {
  /** Chance that a mark on the true shape is forgotten. */
  readonly forgets: number;
  /** Chance that a stated measure or reading of a mark is left out. */
  readonly leavesOut: number;
  /** Chance that a feature that is not there was looked for and is said to be absent. */
  readonly looksFor: number;
  /** Chance that a fact about the wire is unknown. */
  readonly unknown: number;
  /** Relative spread of typed numbers. */
  readonly noise: number;
}

/** Marks everything that is there. What else was looked for is left to chance, so that the list of absences tells no type. */
export const CAREFUL: Care = { forgets: 0, leavesOut: 0, looksFor: 0.3, unknown: 0, noise: 0 };

/** Forgets a quarter of the marks and a third of what is to be said about them. Invented shares. */
export const CARELESS: Care = { forgets: 0.25, leavesOut: 0.35, looksFor: 0.3, unknown: 0.3, noise: 0.08 };

/** Facts that a log may hold about any wire, with how often they hold. Invented shares: demo data. */
const FLAGS = [
  ["pickled", 0.1],
  ["hydrogen_anneal", 0.1],
  ["slip_or_grab_logged", 0.15],
  ["first_trip", 0.2],
  ["repeats_in_cast", 0.1],
] as const;

/**
 * The sheet as another reader would have filled it in. The generator knows what it left out for which type; a model that
 * saw its lists of absent features and known facts would read the type off them, so both are drawn anew by chance.
 */
export function readBy(sheet: ObservationSheet, care: Care, draw: Stream): ObservationSheet {
  const ends = sheet.ends.map((end) => {
    const seen = end.features.filter((f) => f.state !== "absent");
    const kept = seen.filter(() => draw() >= care.forgets).map((f) => blurred(f, care, draw));
    const there = new Set<FeatureId>(seen.map((f) => f.feature));
    const absent = FEATURE_IDS.filter((id) => !there.has(id) && draw() < care.looksFor).map(
      (feature): SheetFeature => ({ feature, state: "absent", measures: {} }),
    );
    return { ...end, features: [...kept, ...absent] };
  });
  const facts: Record<string, unknown> = { ...sheet.context };
  for (const key of Object.keys(facts)) if (key !== "rendered" && draw() < care.unknown) delete facts[key];
  for (const [key, share] of FLAGS) if (facts[key] === undefined && draw() < 0.3) facts[key] = draw() < share;
  return { ...sheet, ends, context: facts };
}

function blurred(feature: SheetFeature, care: Care, draw: Stream): SheetFeature {
  const measures = Object.entries(feature.measures)
    .filter(() => draw() >= care.leavesOut)
    .map(([key, value]) => [key, typeof value === "number" ? value * (1 + care.noise * (2 * draw() - 1)) : value]);
  return { ...feature, measures: Object.fromEntries(measures) as SheetFeature["measures"] };
}

/** The record of a sheet whose pictures lie beside it. */
export function recordOf(sheet: ObservationSheet): WireBreak {
  let count = 0;
  return breakWithUnopenedPictures(sheet, { id: sheet.id, newId: () => `mark ${(count += 1)}`, at: "", by: "" });
}

/** The record with nothing on it but what the machine proposes, every proposal taken. */
export function proposedOnly(sheet: ObservationSheet, { proposed }: PixelNumbers): WireBreak {
  const bare = recordOf({ ...sheet, ends: sheet.ends.map((end) => ({ ...end, features: [] })) });
  const ends = { ...bare.ends };
  for (const side of END_SIDES) {
    const end = ends[side];
    const marks = end.photographs.flatMap((p): Mark[] =>
      (proposed[p.fileName]?.marks ?? []).map((found, n) => ({
        id: `${p.fileName} ${n}`,
        feature: found.feature,
        state: "present",
        photographId: p.id,
        geometry: found.geometry,
        given: {},
        note: "",
        by: "",
        at: "",
        proposed: found,
      })),
    );
    const photographs = end.photographs.map((p) => ({ ...p, axisDeg: proposed[p.fileName]?.axisDeg ?? null }));
    ends[side] = { ...end, photographs, marks };
  }
  return { ...bare, ends };
}
