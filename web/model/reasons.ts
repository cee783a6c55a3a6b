import type { Contribution, Strangeness } from "../../model/classifier/break-model.ts";
import { COLUMN_NAMES, columnSays } from "../../model/classifier/vector.ts";
import { FEATURES, type FeatureSpec, type MeasureSpec } from "../../model/evidence/features.ts";

/** One observation that mattered to what earlier breaks say. */
export interface Reason {
  readonly key: string;
  /** As seen on this break, in trade words. */
  readonly says: string;
  /** Push for the type, natural log units; negative speaks against it. */
  readonly push: number;
}

const BY_ID = new Map<string, FeatureSpec>(FEATURES.map((f) => [f.id, f]));
/** The many numbers of a picture are one observation to a reader. */
const PICTURE_SAYS: Readonly<Record<string, string>> = {
  face: "look of the fracture faces: brightness and texture",
  side: "look of the ends from the side",
  colour: "colour of the faces against the skin",
};

/** Columns of one observation share a key: a feature, the look of the faces, one fact. */
function keyOf(column: string): string {
  const [first = "", second = ""] = column.split(".");
  return first === "pair" || first === "context" || first === "ends" ? `${first}.${second}` : first;
}

/**
 * The observations that mattered most: the pushes of all numbers of one feature, of one fact or of one kind of picture
 * taken together.
 *
 * @param row – the numbers of the break, one per `COLUMN_NAMES`.
 * @param most – how many; those that push less than a tenth of the first are left out.
 * @returns largest push first, by size.
 */
export function reasonsOf(contributions: readonly Contribution[], row: ArrayLike<number>, most = 5): readonly Reason[] {
  const groups = new Map<string, Contribution[]>();
  for (const c of contributions) {
    const key = keyOf(c.column);
    groups.set(key, [...(groups.get(key) ?? []), c]);
  }
  const all = [...groups]
    .map(([key, members]): Reason => ({
      key,
      says: saysOf(key, members, row),
      push: members.reduce((sum, m) => sum + m.push, 0),
    }))
    .sort((a, b) => Math.abs(b.push) - Math.abs(a.push));
  const least = Math.abs(all[0]?.push ?? 0) / 10;
  return all.filter((r) => Math.abs(r.push) > least).slice(0, most);
}

/** Least share of what is strange about a break that is worth a word. */
const WORTH_A_WORD = 0.1;

/**
 * What makes a break unlike those learnt from, in trade words: the shares of one feature, of one fact or of one kind of
 * picture taken together.
 *
 * @param row – the numbers of the break, one per `COLUMN_NAMES`.
 * @returns largest share first.
 */
export function strangeWords(strange: readonly Strangeness[], row: ArrayLike<number>, most = 3): readonly string[] {
  const groups = new Map<string, Strangeness[]>();
  for (const one of strange) {
    const key = keyOf(one.column);
    groups.set(key, [...(groups.get(key) ?? []), one]);
  }
  const sum = (list: readonly Strangeness[]) => list.reduce((total, { share }) => total + share, 0);
  return [...groups]
    .filter(([, members]) => sum(members) >= WORTH_A_WORD)
    .sort(([, a], [, b]) => sum(b) - sum(a))
    .slice(0, most)
    .map(([key, members]) => {
      // Columns of how far the two ends differ from each other carry it.
      const apart = sum(members.filter(({ column }) => column.endsWith(".gap"))) > sum(members) / 2;
      const words = saysOf(
        key,
        members.map(({ column, value }) => ({ column, value, push: 0 })),
        row,
      );
      return apart && PICTURE_SAYS[key] !== undefined ? `${words}, which differs from one end to the other` : words;
    });
}

function saysOf(key: string, members: readonly Contribution[], row: ArrayLike<number>): string {
  const picture = PICTURE_SAYS[key];
  if (picture !== undefined) return members.every((m) => Number.isNaN(m.value)) ? `${picture}: not known` : picture;
  const feature = BY_ID.get(key);
  return feature === undefined ? factSays(key, members, row) : featureSays(feature, members, row);
}

const PLACE = new Map(COLUMN_NAMES.map((name, at) => [name, at]));
const valueAt = (row: ArrayLike<number>, column: string): number => row[PLACE.get(column) ?? -1] ?? NaN;

function featureSays(feature: FeatureSpec, members: readonly Contribution[], row: ArrayLike<number>): string {
  const any = valueAt(row, `${feature.id}.any`);
  if (Number.isNaN(any)) return `${feature.name}: not looked for`;
  if (any === 0) return `${feature.name}: looked for, absent`;
  const where = valueAt(row, `${feature.id}.both`) === 1 ? " on both ends" : "";
  const details = members.map((m) => measureSays(feature, m)).filter((d) => d !== null);
  return [`${feature.name}${where === "" && details.length === 0 ? " seen" : where}`, ...details.slice(0, 1)].join(
    ", ",
  );
}

/** Null where the number is no measure, or not known. */
function measureSays(feature: FeatureSpec, { column, value }: Contribution): string | null {
  if (Number.isNaN(value)) return null;
  const [, key, choice] = column.split(".");
  const spec = feature.measures.find((m) => m.key === key);
  if (spec === undefined) return null;
  if (choice !== undefined) return value === 1 ? `${spec.label} ${choice.replaceAll("_", " ")}` : null;
  if (spec.kind === "flag") return value === 1 ? spec.label : `not ${spec.label}`;
  return `${spec.label} ${numberSays(value, spec)}`;
}

function numberSays(value: number, spec: MeasureSpec): string {
  const text = Math.abs(value) >= 10 ? value.toFixed(0) : Math.abs(value) >= 1 ? value.toFixed(1) : value.toFixed(2);
  if (spec.kind !== "number" || spec.unit === "1" || spec.unit === "count") return text;
  return spec.unit === "°" ? `${text}°` : `${text} ${spec.unit === "/100D" ? "in 100 D" : spec.unit}`;
}

function factSays(key: string, members: readonly Contribution[], row: ArrayLike<number>): string {
  if (key === "context.metal") {
    const metal = COLUMN_NAMES.find((name) => name.startsWith(`${key}.`) && valueAt(row, name) === 1);
    return metal === undefined ? "metal not said, or another" : columnSays(metal).replace(/alum$/, "aluminium");
  }
  const [first] = members;
  if (first === undefined) return key;
  const says = columnSays(first.column);
  if (Number.isNaN(first.value)) return `${says}: not known`;
  if (first.column === "context.wire_mm_log") return `${says} ${Math.exp(first.value).toFixed(2)} mm`;
  if (key === "ends.seen") return `${says}: ${first.value}`;
  return first.value === 1 ? says : `${says}: no`;
}
