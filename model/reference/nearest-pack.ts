import type { ComparedColumn } from "./nearest-columns.ts";
import { type ScaledColumn, scaledColumns } from "./nearest-likeness.ts";
import { byteOf, FLAGS_PER_BYTE, levelOf } from "./nearest-levels.ts";
import { checkRoom } from "./nearest-sums.ts";

/** Confirmed breaks, packed so that all of them are looked through in a moment. */
export interface NearestIndex {
  readonly columns: readonly ScaledColumn[];
  /** The numbers as given, for exact figures. */
  readonly vectors: readonly ArrayLike<number>[];
  /** Marks and facts, byte column after byte column: one number, or up to five flags. */
  readonly read: { readonly columns: readonly (readonly number[])[]; readonly bytes: Uint8Array };
  /** What the pixels show: break after break, one level 0–254 per column; 255 is missing. */
  readonly shown: { readonly columns: readonly number[]; readonly levels: Uint8Array };
  /** How many breaks have each level, 256 per column. */
  readonly counts: Uint32Array;
}

/**
 * @param vectors – one per confirmed break, values per column; NaN is missing.
 * @param columns – how each is compared.
 */
export function nearestIndex(vectors: readonly ArrayLike<number>[], columns: readonly ComparedColumn[]): NearestIndex {
  checkRoom(columns);
  const scaled = scaledColumns(columns, vectors);
  const compared = [...scaled.keys()].filter((k) => scaled[k]!.weight > 0 && scaled[k]!.spread.width > 0);
  const isRead = (k: number) => scaled[k]!.group === "marks" || scaled[k]!.group === "facts";
  const shown = compared.filter((k) => !isRead(k));
  const read = byteColumns(scaled, compared.filter(isRead));
  const readBytes = new Uint8Array(vectors.length * read.length);
  const shownLevels = new Uint8Array(vectors.length * shown.length);
  const counts = new Uint32Array(256 * columns.length);
  vectors.forEach((vector, i) => {
    for (const k of compared) counts[256 * k + levelOf(scaled[k]!, vector[k]!)]!++;
    read.forEach((ks, j) => (readBytes[j * vectors.length + i] = byteOf(scaled, ks, vector)));
    shown.forEach((k, j) => (shownLevels[i * shown.length + j] = levelOf(scaled[k]!, vector[k]!)));
  });
  return {
    columns: scaled,
    vectors,
    read: { columns: read, bytes: readBytes },
    shown: { columns: shown, levels: shownLevels },
    counts,
  };
}

function byteColumns(columns: readonly ScaledColumn[], read: readonly number[]): readonly (readonly number[])[] {
  const flags = read.filter((k) => columns[k]!.kind !== "number");
  const bytes = read.filter((k) => columns[k]!.kind === "number").map((k): readonly number[] => [k]);
  for (let i = 0; i < flags.length; i += FLAGS_PER_BYTE) bytes.push(flags.slice(i, i + FLAGS_PER_BYTE));
  return bytes;
}
