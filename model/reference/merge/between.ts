import { applyEdit, type Edit, findPhotograph, type InsertedLine } from "../../break/edits.ts";
import type { Confirmation, End, EndSide, Mark, Photograph, SecondReading, WireBreak } from "../../break/wire-break.ts";
import { END_SIDES } from "../../break/wire-break.ts";
import { contentKey, MergeError } from "./history.ts";

/** What leads from one record of a break to another. */
export interface Bridge {
  readonly edits: readonly Edit[];
  /** From there to here again, but for the lines added. */
  readonly back: readonly Edit[];
  readonly confirmations: readonly InsertedLine<Confirmation>[];
  readonly readings: readonly InsertedLine<SecondReading>[];
}

const PHOTOGRAPH_KEYS = ["view", "turnDeg", "scale", "axisDeg", "widthPx", "heightPx", "orientation"] as const;
const PHOTOGRAPH_EXTRAS = ["deepTone", "light", "page", "seeing", "turnedDown", "stack"] as const;
const MARK_KEYS = ["feature", "state", "photographId", "geometry", "given", "note"] as const;
const MARK_EXTRAS = ["proposed"] as const;

const same = (a: unknown, b: unknown): boolean => a === b || contentKey([a]) === contentKey([b]);

/**
 * The edits between two records of one break, as few as are plainly needed. Counters are left alone.
 *
 * @throws MergeError when no edits lead from one to the other: lines that are only ever added to would have to go, or
 * a field that no edit changes differs.
 */
export function between(from: WireBreak, to: WireBreak): Bridge {
  const bridge = new Bridging(from);
  bridge.facts(to);
  bridge.things(to);
  const confirmations = insertedLines(from, from.confirmations, to.confirmations);
  const readings = insertedLines(from, from.readings ?? [], to.readings ?? []);
  const lists = { confirmations: [], readings: [], revision: 0, updatedAt: "" };
  if (!same({ ...bridge.now, ...lists }, { ...to, ...lists }))
    throw new MergeError(`No edits lead from one record of ${from.number} to the other.`);
  return { edits: bridge.edits, back: bridge.back, confirmations, readings };
}

function insertedLines<T extends { readonly id: string }>(
  { number }: WireBreak,
  before: readonly T[],
  after: readonly T[],
): readonly InsertedLine<T>[] {
  const known = new Map(before.map((line) => [line.id, line]));
  const kept = after.filter(({ id }) => known.has(id));
  if (!same(kept, before)) throw new MergeError(`Lines of ${number} that are only ever added to differ.`);
  return after.flatMap((line, index) => (known.has(line.id) ? [] : [{ index, line }]));
}

/** Fields of `keys` that differ; null leaves an extra out. */
function patchOf<T extends object>(
  from: T,
  to: T,
  keys: readonly (keyof T)[],
  extras: readonly (keyof T)[] = [],
): Partial<T> | null {
  const differing = [...keys, ...extras].filter((key) => !same(from[key], to[key]));
  if (differing.length === 0) return null;
  return Object.fromEntries(differing.map((key) => [key, to[key] ?? null])) as Partial<T>;
}

/** Without what a patch can change: what is left says whether it is the same thing. */
function rest<T extends object>(thing: T, ...keys: readonly (readonly (keyof T)[])[]): object {
  const gone = new Set<PropertyKey>(keys.flat());
  return Object.fromEntries(Object.entries(thing).filter(([key]) => !gone.has(key)));
}
const samePhotograph = (a: Photograph, b: Photograph): boolean =>
  same(rest(a, PHOTOGRAPH_KEYS, PHOTOGRAPH_EXTRAS), rest(b, PHOTOGRAPH_KEYS, PHOTOGRAPH_EXTRAS));
const sameMark = (a: Mark, b: Mark): boolean => same(rest(a, MARK_KEYS, MARK_EXTRAS), rest(b, MARK_KEYS, MARK_EXTRAS));

class Bridging {
  readonly edits: Edit[] = [];
  readonly back: Edit[] = [];
  constructor(public now: WireBreak) {}

  #step(edit: Edit): void {
    const { next, inverse } = applyEdit(this.now, edit, "");
    if (inverse === null) throw new Error(`${edit.kind} has no inverse.`);
    this.now = next;
    this.edits.push(edit);
    this.back.unshift(inverse);
  }

  facts(to: WireBreak): void {
    const { now } = this;
    if (now.number !== to.number) this.#step({ kind: "set-number", number: to.number });
    if (now.rolesKnown !== to.rolesKnown) this.#step({ kind: "set-roles-known", known: to.rolesKnown });
    const context = patchOf(now.context, to.context, Object.keys(to.context) as (keyof WireBreak["context"])[]);
    if (context !== null) this.#step({ kind: "set-context", patch: context });
    const pairing = patchOf(now.pairing, to.pairing, ["mate", "d0AgreePct"], ["fit"]);
    if (pairing !== null) this.#step({ kind: "set-pairing", patch: pairing });
    for (const side of END_SIDES) {
      const end = patchOf<End>(now.ends[side], to.ends[side], ["recovery", "note"]);
      if (end !== null) this.#step({ kind: "set-end", side, patch: end });
    }
    if (!same(now.route, to.route)) this.#step({ kind: "set-route", route: to.route ?? null });
    if (!same(now.cameWith, to.cameWith)) this.#step({ kind: "set-came-with", list: to.cameWith ?? [] });
    if (now.binnedAt !== to.binnedAt) this.#step({ kind: "set-binned", at: to.binnedAt });
  }

  /** Photographs and marks: first all that cannot stay is lifted off, then each list is laid out anew in its order. */
  things(to: WireBreak): void {
    const staysFiled = (id: string, side: EndSide): boolean => {
      const [here, there] = [findPhotograph(this.now, id), findPhotograph(to, id)];
      return here !== null && there?.side === side && samePhotograph(here.photograph, there.photograph);
    };
    for (const side of END_SIDES)
      for (const mark of this.now.ends[side].marks) {
        const there = to.ends[side].marks.find(({ id }) => id === mark.id);
        const stays = there !== undefined && sameMark(mark, there);
        if (!stays || (mark.photographId !== null && !staysFiled(mark.photographId, side)))
          this.#step({ kind: "remove-mark", markId: mark.id });
      }
    for (const side of END_SIDES)
      for (const { id } of this.now.ends[side].photographs)
        if (!staysFiled(id, side)) this.#step({ kind: "remove-photograph", photographId: id });
    for (const side of END_SIDES)
      to.ends[side].photographs.forEach((photograph, i) => this.#layPhotograph(side, i, photograph));
    for (const side of END_SIDES) to.ends[side].marks.forEach((mark, i) => this.#layMark(side, i, mark));
  }

  #layPhotograph(side: EndSide, index: number, photograph: Photograph): void {
    const at = this.now.ends[side].photographs.findIndex(({ id }) => id === photograph.id);
    if (at < 0) return this.#step({ kind: "add-photograph", side, index, photograph });
    if (at !== index) this.#step({ kind: "move-photograph", photographId: photograph.id, to: side, index });
    const patch = patchOf(this.now.ends[side].photographs[index]!, photograph, PHOTOGRAPH_KEYS, PHOTOGRAPH_EXTRAS);
    if (patch !== null) this.#step({ kind: "set-photograph", photographId: photograph.id, patch });
  }

  #layMark(side: EndSide, index: number, mark: Mark): void {
    const at = this.now.ends[side].marks.findIndex(({ id }) => id === mark.id);
    if (at > index) this.#step({ kind: "remove-mark", markId: mark.id });
    if (at !== index) return this.#step({ kind: "add-mark", side, index, mark });
    const patch = patchOf(this.now.ends[side].marks[index]!, mark, MARK_KEYS, MARK_EXTRAS);
    if (patch !== null) this.#step({ kind: "set-mark", markId: mark.id, patch });
  }
}
