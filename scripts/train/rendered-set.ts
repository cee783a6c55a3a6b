import { numbersOfBreak } from "../../model/classifier/of-break.ts";
import { seeded } from "../../model/classifier/seeded.ts";
import type { TrainingSet } from "../../model/classifier/training-set.ts";
import { COLUMN_NAMES } from "../../model/classifier/vector.ts";
import { BREAK_TYPE_IDS } from "../../model/evidence/break-type-ids.ts";
import { breaksIn, readCorpusBreak, viewsOf, type CorpusBreak } from "./corpus-break.ts";
import { CAREFUL, CARELESS, proposedOnly, readBy, recordOf } from "./readers.ts";

/**
 * Ways in which the same rendered break was read. `drawn`: every true mark. `careless-…`: marks, measures and facts
 * forgotten by chance. `proposed`: nothing but what the machine proposes, and the facts. `paper-…`: a careful and a
 * careless reader's marks without the photographs, as on an old paper record.
 */
export type Reading = "drawn" | "careless-1" | "careless-2" | "proposed" | "paper-1" | "paper-2";
export const READINGS: readonly Reading[] = ["drawn", "careless-1", "careless-2", "proposed", "paper-1", "paper-2"];
const BY_CAREFUL: ReadonlySet<Reading> = new Set(["drawn", "proposed", "paper-1"]);

/** The numbers of one break as read in one way. */
export function numbersRead(b: CorpusBreak, reading: Reading): Float32Array {
  const draw = seeded(b.seed * 8 + READINGS.indexOf(reading));
  const sheet = readBy(b.sheet, BY_CAREFUL.has(reading) ? CAREFUL : CARELESS, draw);
  if (reading === "paper-1" || reading === "paper-2") return numbersOfBreak(recordOf(sheet), []);
  return reading === "proposed"
    ? numbersOfBreak(proposedOnly(sheet, b.pixels), viewsOf(sheet, b.pixels.proposedViews))
    : numbersOfBreak(recordOf(sheet), viewsOf(sheet, b.pixels.drawnViews));
}

export interface RenderedSet {
  readonly set: TrainingSet;
  /** Break and reading of each row. */
  readonly names: readonly string[];
  readonly readings: readonly Reading[];
  readonly seeds: { readonly first: number; readonly last: number };
}

/** Rendered breaks as numbers; all readings of a break are one group. */
export async function renderedSet(folder: string, readings: readonly Reading[]): Promise<RenderedSet> {
  const rows: { vector: Float32Array; b: CorpusBreak; reading: Reading }[] = [];
  for (const name of breaksIn(folder)) {
    const b = await readCorpusBreak(folder, name);
    for (const reading of readings) rows.push({ vector: numbersRead(b, reading), b, reading });
  }
  const x = new Float32Array(rows.length * COLUMN_NAMES.length);
  rows.forEach(({ vector }, i) => x.set(vector, i * COLUMN_NAMES.length));
  const seeds = rows.map(({ b }) => b.seed);
  return {
    set: {
      names: COLUMN_NAMES,
      classes: [...BREAK_TYPE_IDS],
      x,
      y: Int32Array.from(rows, ({ b }) => BREAK_TYPE_IDS.indexOf(b.type)),
      group: Int32Array.from(seeds),
    },
    names: rows.map(({ b }) => b.name),
    readings: rows.map(({ reading }) => reading),
    seeds: { first: Math.min(...seeds), last: Math.max(...seeds) },
  };
}
