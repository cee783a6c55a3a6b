import { BREAK_TYPE_IDS, type BreakTypeId, type Verdict } from "../evidence/break-type-ids.ts";
import { FEWEST_PER_TYPE } from "./train.ts";
import type { TrainingSet } from "./training-set.ts";

/** A confirmed break in numbers. */
export interface NumberedBreak {
  readonly id: string;
  /** As confirmed; a break confirmed as undecided teaches no type. */
  readonly type: Verdict;
  /** One value per column, NaN missing. */
  readonly vector: ArrayLike<number>;
}

export interface TypeCount {
  readonly type: BreakTypeId;
  readonly breaks: number;
}

/** Confirmed breaks sorted into what can be learnt from and what cannot. */
export interface SetOfBreaks {
  readonly set: TrainingSet;
  /** Break of each row of the set. */
  readonly ids: readonly string[];
  /** Types that are learnt, in the order of the trade list. */
  readonly enough: readonly TypeCount[];
  /** Types with too few confirmed breaks; they are not in the set. */
  readonly tooFew: readonly TypeCount[];
  /** Confirmed breaks of the types with too few: nothing is learnt from them, but a model can be judged on them. */
  readonly rest: readonly NumberedBreak[];
}

/**
 * Confirmed breaks as a set to learn from: one row and one group per break, so that no break lies on both sides of a
 * split. Rows go by identifier, so that the order in which breaks were read changes nothing.
 *
 * @param names – names of the columns of the vectors.
 */
export function setOfBreaks(breaks: readonly NumberedBreak[], names: readonly string[]): SetOfBreaks {
  const sorted = [...breaks].sort((a, b) => (a.id < b.id ? -1 : a.id > b.id ? 1 : 0));
  const counts = BREAK_TYPE_IDS.map((type) => ({ type, breaks: sorted.filter((b) => b.type === type).length }));
  const enough = counts.filter((c) => c.breaks >= FEWEST_PER_TYPE);
  const classes = enough.map((c) => c.type);
  const typeOf = (b: NumberedBreak) => (b.type === "undetermined" ? -1 : classes.indexOf(b.type));
  const learnt = sorted.filter((b) => typeOf(b) >= 0);
  const x = new Float32Array(learnt.length * names.length);
  learnt.forEach((b, i) => x.set(b.vector, i * names.length));
  return {
    set: {
      names,
      classes,
      x,
      y: Int32Array.from(learnt, typeOf),
      group: Int32Array.from(learnt, (_, i) => i),
    },
    ids: learnt.map((b) => b.id),
    enough,
    tooFew: counts.filter((c) => c.breaks > 0 && c.breaks < FEWEST_PER_TYPE),
    rest: sorted.filter((b) => b.type !== "undetermined" && typeOf(b) < 0),
  };
}

/**
 * The set as bytes, for its digest: the same numbers and types give the same bytes on every machine.
 *
 * Text of the column and class names, each closed by a zero byte; then for every row its class and its numbers as
 * 32-bit little-endian values, every missing one written the same way.
 */
export function bytesOfSet({ names, classes, x, y }: TrainingSet): Uint8Array<ArrayBuffer> {
  const text = [...names, ...classes].map((name) => `${name}\0`).join("");
  const letters = Uint8Array.from(text, (letter) => letter.charCodeAt(0) & 0xff);
  const row = 4 * (names.length + 1);
  const bytes = new Uint8Array(letters.length + y.length * row);
  bytes.set(letters);
  const view = new DataView(bytes.buffer);
  y.forEach((type, i) => {
    let at = letters.length + i * row;
    view.setInt32(at, type, true);
    for (let j = 0; j < names.length; j++) {
      const value = x[i * names.length + j]!;
      at += 4;
      // A NaN may carry any of many bit patterns.
      if (Number.isNaN(value)) view.setUint32(at, 0x7fc00000, true);
      else view.setFloat32(at, value, true);
    }
  });
  return bytes;
}

/** What keeps a set from being learnt from, as a sentence with the next step; null = nothing. */
export function lackingOf({ enough }: SetOfBreaks): { readonly says: string; readonly next: string } | null {
  if (enough.length >= 2) return null;
  return {
    says:
      enough.length === 1
        ? `Only one break type has ${FEWEST_PER_TYPE} confirmed breaks; two types are needed to tell anything apart.`
        : `No break type has ${FEWEST_PER_TYPE} confirmed breaks yet; two types with as many each are needed.`,
    next: "Confirm more breaks. The log lists which of them would teach most.",
  };
}
