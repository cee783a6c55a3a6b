import { standardRow, type Standard } from "./standardise.ts";
import { rowsOf, type TrainingSet } from "./training-set.ts";

/**
 * Standardised rows laid out for speed. A column that most rows know lies in a full table; of the others only what is
 * known is kept. Columns that are always known or missing together share one flag.
 */
export interface PackedRows {
  readonly rows: number;
  /** Columns of the full table, a multiple of four (filled up with zeros). */
  readonly full: number;
  /** rows × full; 0 where missing. */
  readonly table: Float32Array;
  /** First place of each row in `feature` and `value`; one more at the end. */
  readonly from: Int32Array;
  readonly feature: Int32Array;
  readonly value: Float32Array;
  /** Features in all: the full table's, the sparse columns', the flags'. */
  readonly features: number;
  /** Feature of each column's value; −1 for a column that is 0 in every row. */
  readonly valueAt: Int32Array;
  /** Feature of each column's flag; −1 where all rows agree, which says nothing. */
  readonly flagAt: Int32Array;
  /** How many columns share the flag of a column: the root of that is its size. */
  readonly sharing: Int32Array;
  /** 1 where the flag is 0 on the rows that know the column and negative on those that do not; else the other way. */
  readonly turned: Uint8Array;
}

/** A column known in more than this share of the rows lies in the full table. */
const MOSTLY = 0.4;

export function packRows(set: TrainingSet, standard: Standard): PackedRows {
  const columns = set.names.length;
  const rows = rowsOf(set);
  const { known, used, pattern } = lookOver(set, standard);
  const valueAt = new Int32Array(columns).fill(-1);
  let features = 0;
  for (let j = 0; j < columns; j++) if (used[j] && known[j]! > MOSTLY * rows) valueAt[j] = features++;
  const full = 4 * Math.ceil(features / 4);
  features = full;
  for (let j = 0; j < columns; j++) if (used[j] && valueAt[j] === -1) valueAt[j] = features++;

  const members = new Map<string, number[]>();
  for (let j = 0; j < columns; j++)
    if (known[j]! > 0 && known[j]! < rows) members.set(pattern[j]!, [...(members.get(pattern[j]!) ?? []), j]);
  const flagAt = new Int32Array(columns).fill(-1);
  const sharing = new Int32Array(columns);
  const turned = new Uint8Array(columns);
  /** One column per shared flag: what it knows, all of them know. */
  const spokesmen: number[] = [];
  for (const together of members.values()) {
    spokesmen.push(together[0]!);
    for (const j of together) {
      flagAt[j] = features;
      sharing[j] = together.length;
      // The rarer of knowing and not knowing is written down: shorter, and nearly free of the bias.
      turned[j] = 2 * known[j]! > rows ? 1 : 0;
    }
    features++;
  }

  const table = new Float32Array(rows * full);
  const from = new Int32Array(rows + 1);
  let room = 0;
  for (let j = 0; j < columns; j++) if (valueAt[j]! >= full) room += known[j]!;
  for (const j of spokesmen) room += turned[j] === 1 ? rows - known[j]! : known[j]!;
  const feature = new Int32Array(room);
  const value = new Float32Array(room);
  const line = new Float64Array(2 * columns);
  let at = 0;
  for (let i = 0; i < rows; i++) {
    standardRow(set.x.subarray(i * columns, (i + 1) * columns), standard, line);
    for (let j = 0; j < columns; j++) {
      const place = valueAt[j]!;
      if (place < 0 || line[j] === 0) continue;
      if (place < full) table[i * full + place] = line[j]!;
      else {
        feature[at] = place;
        value[at++] = line[j]!;
      }
    }
    for (const j of spokesmen)
      if (line[columns + j] !== turned[j]) {
        feature[at] = flagAt[j]!;
        value[at++] = (turned[j] === 1 ? -1 : 1) * Math.sqrt(sharing[j]!);
      }
    from[i + 1] = at;
  }
  return {
    rows,
    full,
    table,
    from,
    feature,
    value,
    features,
    valueAt,
    flagAt,
    sharing,
    turned,
  };
}

/** Of each column: how many rows know it, whether it ever differs from its mean, and the pattern of knowing as text. */
function lookOver(set: TrainingSet, { mean }: Standard) {
  const columns = set.names.length;
  const rows = rowsOf(set);
  const known = new Int32Array(columns);
  const used = new Uint8Array(columns);
  const words = Math.ceil(rows / 16);
  const bits = new Uint16Array(columns * words);
  for (let i = 0, at = 0; i < rows; i++)
    for (let j = 0; j < columns; j++, at++) {
      const v = set.x[at]!;
      if (Number.isNaN(v)) continue;
      known[j]!++;
      bits[j * words + (i >> 4)]! |= 1 << (i & 15);
      if (v !== mean[j]) used[j] = 1;
    }
  const pattern = Array.from({ length: columns }, (_, j) => letters(bits.subarray(j * words, (j + 1) * words)));
  return { known, used, pattern };
}

/** As one key of a map; in parts, because a call takes only so many values. */
function letters(bits: Uint16Array): string {
  let text = "";
  for (let k = 0; k < bits.length; k += 8192) text += String.fromCharCode(...bits.subarray(k, k + 8192));
  return text;
}
