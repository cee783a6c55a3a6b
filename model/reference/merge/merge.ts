import { applyEdit } from "../../break/edits.ts";
import type { WireBreak } from "../../break/wire-break.ts";
import { type Fields, fieldsOf, idOfPart, pathPart, recordOf, swaps } from "./fields.ts";
import { type Chain, contentKey, type History, type HistoryEntry, isTakenOver, namesOf } from "./history.ts";
import { orderOf } from "./order.ts";

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
  readonly conflicts: readonly MergeConflict[];
}

interface Write extends RivalValue {
  readonly name: string;
}

const THING = /^(photograph|mark)\/[^/]+/;

/**
 * The record that a history leads to.
 *
 * One chain gives what replaying it gives; a chain that took others over goes on from what all of them led to. Several: each field has the value written last in the common order; benches
 * that wrote different values into one field, none knowing of the other, are a conflict. What one bench took out and
 * another changed meanwhile stays in. Nothing is lost: every edit stays in the log, every value that lost is named.
 */
export function mergedRecord(history: History): Merged {
  const { record, log, conflicts } = merged(history);
  return { record, log, conflicts };
}

function merged({ start, chains }: History): Merged & { readonly swapped: boolean } {
  const order = orderOf(chains);
  const log = order.entries.map(({ entry }) => entry);
  const revision = start.revision + log.length;
  const updatedAt = log.at(-1)?.at ?? start.updatedAt;
  const writes = new Map<string, Map<string, Write>>();
  for (const chain of chains) collectWrites(start, chain, writes);

  const place = new Map(order.entries.map(({ name }, i) => [name, i]));
  const fields = new Map<string, unknown>(fieldsOf(start, false));
  const conflicts: MergeConflict[] = [];
  const latest = new Map<string, Write>();
  for (const [field, byName] of writes) {
    const list = [...byName.values()].sort((a, b) => place.get(a.name)! - place.get(b.name)!);
    const last = list.at(-1)!;
    // Writes that some other write replaced knowingly no longer stand.
    const standing = list.filter((w) => !list.some((other) => other !== w && order.knew(other.name, w.name)));
    const rivals = (standing.length > 0 ? standing : [last]).filter((w) => w !== last);
    const kept = THING.exec(field)?.[0] === field && last.value === undefined ? (rivals.at(-1) ?? last) : last;
    latest.set(field, kept);
    const others = [...rivals, last].filter((w) => w !== kept && contentKey([w.value]) !== contentKey([kept.value]));
    if (others.length > 0 && !field.startsWith("order/"))
      conflicts.push({ field, kept: plain(kept), others: others.map(plain) });
  }
  for (const [field, { value }] of latest)
    if (value === undefined) fields.delete(field);
    else fields.set(field, value);
  conflicts.push(...broughtBack(fields, fieldsOf(start, false), latest, writes, order.knew, place));
  followPhotographs(fields);
  const added = (kind: "confirmation" | "reading", first: readonly { readonly id: string }[]): readonly string[] => [
    ...new Set([...first.map(({ id }) => id), ...order.entries.flatMap(({ name }) => addedBy(name, kind, writes))]),
  ];
  const record = recordOf(fields, start, {
    confirmations: added("confirmation", start.confirmations),
    readings: added("reading", start.readings ?? []),
  });
  conflicts.sort((a, b) => (a.field < b.field ? -1 : 1));
  const swapped = fields.get("swapped") === true;
  return { record: { ...record, revision, updatedAt }, log, conflicts, swapped };
}

/** Edits keep what they don't touch as it is, so most fields are told apart without looking into them. */
const same = (a: unknown, b: unknown): boolean => a === b || contentKey([a]) === contentKey([b]);

const plain = ({ value, by, at }: Write): RivalValue => ({ value, by, at });

/** Replays one bench's edits and notes which fields each of them changed. */
function collectWrites(start: WireBreak, chain: Chain, writes: Map<string, Map<string, Write>>): void {
  const names = namesOf(chain);
  let now = start;
  let swapped = false;
  let before: Fields = fieldsOf(now, swapped);
  const seen = new Set(before.keys());
  chain.forEach((line, i) => {
    if (isTakenOver(line)) {
      for (const other of line.merged) collectWrites(start, other, writes);
      ({ record: now, swapped } = merged({ start, chains: [chain.slice(0, i), ...line.merged] }));
      before = fieldsOf(now, swapped);
      for (const field of before.keys()) seen.add(field);
      return;
    }
    const { edit, by, at } = line;
    now = applyEdit(now, edit, at).next;
    if (swaps(edit)) swapped = !swapped;
    const after = fieldsOf(now, swapped);
    const write = (field: string, value: unknown): void => {
      const of = writes.get(field) ?? new Map<string, Write>();
      of.set(names[i]!, { name: names[i]!, value, by, at });
      writes.set(field, of);
    };
    for (const field of seen) {
      const thing = THING.exec(field)?.[0];
      // A thing that comes back without a field it had does not find it again.
      if (thing !== undefined && after.has(thing) && !before.has(thing) && !after.has(field)) write(field, undefined);
    }
    for (const field of after.keys()) seen.add(field);
    for (const [field, value] of after) if (!before.has(field) || !same(before.get(field), value)) write(field, value);
    for (const field of before.keys()) {
      if (after.has(field)) continue;
      // What is taken out as a whole keeps its fields, so that it can come back as it was.
      const thing = THING.exec(field)?.[0];
      if (thing === undefined || thing === field || after.has(thing)) write(field, undefined);
    }
    before = after;
  });
}

/** Things that one bench took out while another changed them or drew on them come back. */
function broughtBack(
  fields: Map<string, unknown>,
  first: Fields,
  latest: ReadonlyMap<string, Write>,
  writes: ReadonlyMap<string, ReadonlyMap<string, Write>>,
  knew: (after: string, before: string) => boolean,
  place: ReadonlyMap<string, number>,
): readonly MergeConflict[] {
  const conflicts: MergeConflict[] = [];
  // In the common order and by name, never in the order in which the chains happened to be read.
  const inOrder = (list: readonly Write[]): readonly Write[] =>
    [...list].sort((a, b) => place.get(a.name)! - place.get(b.name)!);
  const bringBack = (thing: string, because: Write | null): void => {
    const gone = latest.get(thing)!;
    const was = inOrder([...(writes.get(thing)?.values() ?? [])])
      .filter((w) => w.value !== undefined)
      .at(-1)?.value;
    fields.set(thing, was ?? first.get(thing));
    conflicts.push({
      field: thing,
      kept:
        because === null
          ? { ...plain(gone), value: fields.get(thing) }
          : { ...plain(because), value: fields.get(thing) },
      others: [plain(gone)],
    });
  };
  const changes = new Map<string, Write[]>();
  for (const [field, byName] of writes) {
    const thing = THING.exec(field)?.[0];
    if (thing === undefined || thing === field || fields.has(thing)) continue;
    changes.set(thing, [...(changes.get(thing) ?? []), ...byName.values()]);
  }
  for (const [thing, changed] of [...changes].sort(([a], [b]) => (a < b ? -1 : 1))) {
    const gone = latest.get(thing);
    if (gone?.value !== undefined || gone === undefined) continue;
    const meanwhile = inOrder(changed).find((w) => !knew(gone.name, w.name) && w.name !== gone.name);
    if (meanwhile !== undefined) bringBack(thing, meanwhile);
  }
  for (const [field, photographId] of [...fields].sort(([a], [b]) => (a < b ? -1 : 1))) {
    const mark = /^mark\/[^/]+(?=\/photographId$)/.exec(field)?.[0];
    const thing = `photograph/${pathPart(String(photographId))}`;
    if (mark === undefined || photographId === null || !fields.has(mark) || fields.has(thing)) continue;
    bringBack(thing, latest.get(mark) ?? null);
  }
  return conflicts;
}

/** A mark lies on the end its photograph is filed under, wherever that went meanwhile. */
function followPhotographs(fields: Map<string, unknown>): void {
  for (const [field, photographId] of [...fields]) {
    const mark = /^mark\/[^/]+(?=\/photographId$)/.exec(field)?.[0];
    const side = fields.get(`photograph/${pathPart(String(photographId))}`);
    if (mark !== undefined && fields.has(mark) && side !== undefined) fields.set(mark, side);
  }
}

function addedBy(
  name: string,
  kind: string,
  writes: ReadonlyMap<string, ReadonlyMap<string, Write>>,
): readonly string[] {
  return [...writes].flatMap(([field, byName]) =>
    field.startsWith(`${kind}/`) && byName.has(name) ? [idOfPart(field.slice(kind.length + 1))] : [],
  );
}
