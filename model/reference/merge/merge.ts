import { applyEdit, EditError } from "../../break/edits.ts";
import type { WireBreak } from "../../break/wire-break.ts";
import { broughtBack, followPhotographs } from "./bring-back.ts";
import { type Fields, fieldsOf, idOfPart, recordOf, swaps } from "./fields.ts";
import { contentKey, type History, type HistoryEntry, MergeError } from "./history.ts";
import { fieldsNamed } from "./named-fields.ts";
import { inOrder, Known } from "./order.ts";

/** One of several values that benches gave a field without knowing of each other. */
export interface RivalValue {
  /** undefined = the field, photograph or mark was taken out. */
  readonly value: unknown;
  readonly by: string;
  readonly at: string;
}

export interface MergeConflict {
  /** Name of the field, such as `context/metal` or `mark/m1/geometry`. */
  readonly field: string;
  /** What the merged record says. */
  readonly kept: RivalValue;
  /** What it does not say; it stays in the log. */
  readonly others: readonly RivalValue[];
}

export interface Merged {
  readonly record: WireBreak;
  /** All edits of all benches, in the order every bench finds. */
  readonly log: readonly HistoryEntry[];
  /** Fields that stand with several values until a line that knows all of them says which it is. */
  readonly conflicts: readonly MergeConflict[];
  /** Whether the ends have changed places since the beginning; names of fields go by how they lay then. */
  readonly swapped: boolean;
}

/** What one line of the history wrote into a field. */
export interface Write extends RivalValue {
  /** Place of the line in the history. */
  readonly line: number;
}

/** A photograph or a mark as a whole, at the beginning of a field's name. */
export const THING = /^(photograph|mark)\/[^/]+/;

/**
 * The record that a history leads to.
 *
 * One bench alone gives what replaying its lines gives; a bench that took others over goes on from what all of them led
 * to. Where benches went on without knowing of each other, each field has the value written last in the common order;
 * different values written into one field, none knowing of the other, are a conflict. What one bench took out and
 * another changed meanwhile stays in. Nothing is lost: every edit stays in the log, every value that lost is named.
 *
 * @throws MergeError when a line names something that is not there.
 */
export function mergedRecord(history: History): Merged {
  const merging = new Merging(history);
  return merging.upTo(history.lines.map((_, i) => i));
}

interface State {
  readonly record: WireBreak;
  readonly swapped: boolean;
  readonly fields: Fields;
}

/** Edits keep what they don't touch as it is, so most fields are told apart without looking into them. */
const same = (a: unknown, b: unknown): boolean => a === b || contentKey([a]) === contentKey([b]);

const plain = ({ value, by, at }: Write): RivalValue => ({ value, by, at });

class Merging {
  readonly #history: History;
  readonly #known: Known;
  readonly #keys: readonly string[];
  readonly #first: Fields;
  readonly #states: State[] = [];
  readonly #writes: ReadonlyMap<string, Write>[] = [];

  constructor(history: History) {
    this.#history = history;
    this.#known = new Known(history.lines);
    this.#keys = history.lines.map(({ edit }) => contentKey(edit));
    this.#first = fieldsOf(history.start, false);
    history.lines.forEach((_, i) => this.#replay(i));
  }

  /** What these lines lead to; with each line everything it followed is among them. */
  upTo(some: readonly number[]): Merged {
    const { start, lines } = this.#history;
    const row = inOrder(lines, some, this.#keys);
    const place = new Map(row.map((line, i) => [line, i]));
    const knew = (line: number, earlier: number): boolean => this.#known.knew(line, earlier);
    const writes = new Map<string, Write[]>();
    for (const line of row)
      for (const [field, write] of this.#writes[line]!)
        if (writes.has(field)) writes.get(field)!.push(write);
        else writes.set(field, [write]);

    const fields = new Map<string, unknown>(this.#first);
    const conflicts: MergeConflict[] = [];
    const latest = new Map<string, Write>();
    for (const [field, list] of writes) {
      const last = list.at(-1)!;
      // Writes that some other write replaced knowingly no longer stand.
      const standing = list.filter((w) => !list.some((other) => other !== w && knew(other.line, w.line)));
      const rivals = (standing.length > 0 ? standing : [last]).filter((w) => w !== last);
      const kept = THING.exec(field)?.[0] === field && last.value === undefined ? (rivals.at(-1) ?? last) : last;
      latest.set(field, kept);
      const others = [...rivals, last].filter((w) => w !== kept && !same(w.value, kept.value));
      if (others.length > 0 && !field.startsWith("order/"))
        conflicts.push({ field, kept: plain(kept), others: others.map(plain) });
    }
    for (const [field, { value }] of latest)
      if (value === undefined) fields.delete(field);
      else fields.set(field, value);
    conflicts.push(...broughtBack(fields, this.#first, latest, writes, knew, place));
    followPhotographs(fields);
    conflicts.sort((a, b) => (a.field < b.field ? -1 : 1));

    const added = (kind: "confirmation" | "reading", first: readonly { readonly id: string }[]): readonly string[] => [
      ...new Set([...first.map(({ id }) => id), ...row.flatMap((line) => this.#added(line, kind))]),
    ];
    const record = recordOf(fields, start, {
      confirmations: added("confirmation", start.confirmations),
      readings: added("reading", start.readings ?? []),
    });
    const log = row.map((line): HistoryEntry => {
      const { edit, by, at } = lines[line]!;
      return { edit, by, at };
    });
    const counters = { revision: start.revision + log.length, updatedAt: log.at(-1)?.at ?? start.updatedAt };
    return { record: { ...record, ...counters }, log, conflicts, swapped: fields.get("swapped") === true };
  }

  /** Notes which fields a line changed, from what its bench had before it. */
  #replay(line: number): void {
    const { edit, by, at } = this.#history.lines[line]!;
    const before = this.#before(line);
    let record: WireBreak;
    try {
      record = applyEdit(before.record, edit, at).next;
    } catch (failure) {
      if (!(failure instanceof EditError)) throw failure;
      throw new MergeError(`The edits of ${before.record.number} do not follow each other: ${failure.message}`);
    }
    const swapped = before.swapped !== swaps(edit);
    const fields = fieldsOf(record, swapped);
    const writes = new Map<string, Write>();
    const write = (field: string, value: unknown): void => void writes.set(field, { line, value, by, at });
    for (const [field, value] of fields)
      if (!before.fields.has(field) || !same(before.fields.get(field), value)) write(field, value);
    for (const field of before.fields.keys()) {
      if (fields.has(field)) continue;
      // What is taken out as a whole keeps its fields, so that it can come back as it was.
      const thing = THING.exec(field)?.[0];
      if (thing === undefined || thing === field || fields.has(thing)) write(field, undefined);
    }
    for (const thing of [...writes.keys()].filter((field) => THING.exec(field)?.[0] === field && fields.has(field)))
      if (!before.fields.has(thing))
        // A thing that comes back without a field it had does not find it again.
        for (const field of this.#hadBefore(line, thing)) if (!fields.has(field)) write(field, undefined);
    // An edit that changes nothing says that what it names is as it should be.
    if (writes.size === 0) for (const field of fieldsNamed(edit, before.swapped)) write(field, fields.get(field));
    this.#states.push({ record, swapped, fields });
    this.#writes.push(writes);
  }

  #before(line: number): State {
    const { after } = this.#history.lines[line]!;
    if (after.length === 1) return this.#states[after[0]!]!;
    if (after.length === 0) return { record: this.#history.start, swapped: false, fields: this.#first };
    const { record, swapped } = this.upTo(this.#known.upTo(after));
    return { record, swapped, fields: fieldsOf(record, swapped) };
  }

  /** Fields of a thing that were there at any time before a line. */
  #hadBefore(line: number, thing: string): readonly string[] {
    const earlier = this.#known.upTo(this.#history.lines[line]!.after).flatMap((i) => [...this.#writes[i]!.keys()]);
    return [...new Set([...this.#first.keys(), ...earlier])].filter((field) => field.startsWith(`${thing}/`));
  }

  #added(line: number, kind: string): readonly string[] {
    return [...this.#writes[line]!.keys()].flatMap((field) =>
      field.startsWith(`${kind}/`) ? [idOfPart(field.slice(kind.length + 1))] : [],
    );
  }
}
