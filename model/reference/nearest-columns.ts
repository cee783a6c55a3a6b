import { FEATURES, type FeatureSpec, type MeasureUnit } from "../evidence/features.ts";

/**
 * How two values of a column are compared.
 * - presence: 0 or 1; absent on both says nothing about likeness and is not compared
 * - alternative: 0 or 1; both answers count alike
 * - number: by their distance on the spread of the column
 *
 * @source J. C. Gower, "A general coefficient of similarity and some of its properties", Biometrics 27 (1971) 857–871:
 *   dichotomous, qualitative and quantitative characters; from memory
 */
export type ColumnKind = "presence" | "alternative" | "number";

/** What a column tells of: marks read by a person, facts of wire and process, or what the pixels show. */
export type ColumnGroup = "marks" | "facts" | "face" | "side" | "colour";

export interface ComparedColumn {
  readonly name: string;
  readonly kind: ColumnKind;
  readonly group: ColumnGroup;
  /** Share in the comparison, in 1/256; 0 = never compared. */
  readonly weight: number;
  /** Spread that a number has at least, whatever the set; 0 = see `spreadOf`. */
  readonly leastWidth: number;
  /** Of a measure; null where the column has none. */
  readonly unit: MeasureUnit | null;
}

/** One weight is this many parts, so that sums of weights are whole numbers. */
export const WEIGHT_PARTS = 256;

/**
 * What all columns of a group weigh together: the many numbers of a face are no more than a few marks. Marks weigh one
 * each. @source common practice, no source
 */
const GROUP_WEIGHT: Readonly<Record<"face" | "side" | "colour", number>> = { face: 6, side: 4, colour: 1 };

/** Columns of one fact share its weight. */
const METALS = 3;

/** That a wire was outlined or an end found tells how it was examined, not how it broke. */
const NEVER: ReadonlySet<string> = new Set(["wire_outline.any", "wire_outline.both", "ends.seen"]);

interface Read {
  readonly kind: ColumnKind;
  readonly unit: MeasureUnit | null;
}

/** ln 1.5: wires whose diameters differ by a few percent are the same size. @source common practice, no source */
const LEAST_DIAMETERS = Math.log(1.5);

const MARKS: ReadonlyMap<string, Read> = new Map(
  FEATURES.flatMap((spec: FeatureSpec): [string, Read][] => [
    [`${spec.id}.any`, { kind: "presence", unit: null }],
    [`${spec.id}.both`, { kind: "presence", unit: null }],
    ...spec.measures.flatMap((measure): [string, Read][] => {
      const name = `${spec.id}.${measure.key}`;
      if (measure.kind === "choice")
        return measure.choices.map((each): [string, Read] => [`${name}.${each}`, { kind: "presence", unit: null }]);
      if (measure.kind === "flag") return [[name, { kind: "alternative", unit: null }]];
      return measure.kind === "number" ? [[name, { kind: "number", unit: measure.unit }]] : [];
    }),
  ]),
);

function groupOf(name: string): ColumnGroup {
  const prefix = name.slice(0, name.indexOf("."));
  if (prefix === "face" || prefix === "side" || prefix === "colour") return prefix;
  return prefix === "context" ? "facts" : "marks";
}

function readOf(name: string, group: ColumnGroup): Read {
  const known = MARKS.get(name);
  if (known !== undefined) return known;
  if (name.startsWith("pair.")) return { kind: "presence", unit: null };
  if (group === "facts" && name !== "context.wire_mm_log") return { kind: "alternative", unit: null };
  return { kind: "number", unit: null };
}

/**
 * How each column of a break's numbers is compared.
 *
 * @param names – of the columns, as `COLUMN_NAMES`.
 */
export function comparedColumns(names: readonly string[]): readonly ComparedColumn[] {
  const groups = names.map(groupOf);
  const weightOf = (name: string, group: ColumnGroup): number => {
    if (NEVER.has(name)) return 0;
    if (name.startsWith("context.metal.")) return 1 / METALS;
    if (group === "marks" || group === "facts") return 1;
    return GROUP_WEIGHT[group] / groups.filter((g) => g === group).length;
  };
  return names.map((name, k) => {
    const group = groups[k]!;
    const weight = Math.round(weightOf(name, group) * WEIGHT_PARTS);
    const leastWidth = name === "context.wire_mm_log" ? LEAST_DIAMETERS : 0;
    return { name, group, weight, leastWidth, ...readOf(name, group) };
  });
}
