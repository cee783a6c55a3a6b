import type { Route } from "../route/route.ts";
import type {
  BreakContext,
  CameWith,
  Confirmation,
  End,
  EndSide,
  Mark,
  Pairing,
  Photograph,
  SecondReading,
  WireBreak,
} from "./wire-break.ts";
import { END_SIDES, otherSide } from "./wire-break.ts";

type PhotographExtra = "deepTone" | "light" | "page" | "seeing" | "turnedDown" | "stack";
/** Fields a record may leave out; null in a patch leaves them out, so that every patch survives as JSON. */
type Extras<T, K extends keyof T> = { readonly [P in K]?: Exclude<T[P], undefined> | null };

/** What a person may change on a photograph after it was filed. */
export type PhotographPatch = Partial<
  Pick<Photograph, "view" | "turnDeg" | "scale" | "axisDeg" | "widthPx" | "heightPx" | "orientation">
> &
  Extras<Photograph, PhotographExtra>;
export type MarkPatch = Partial<Pick<Mark, "feature" | "state" | "photographId" | "geometry" | "given" | "note">> &
  Extras<Mark, "proposed">;
export type PairingPatch = Partial<Pick<Pairing, "mate" | "d0AgreePct">> & Extras<Pairing, "fit">;

/** A line of another bench's edit log. */
export interface TakenLine {
  /** Lines its bench had when it was written, the latest of each branch: places among all lines this bench knows. */
  readonly after: readonly number[];
  readonly edit: Edit;
  readonly by: string;
  /** ISO 8601. */
  readonly at: string;
}
/** A line put into a list that is only ever added to. */
export interface InsertedLine<T> {
  /** Its place in the list as it is afterwards. */
  readonly index: number;
  readonly line: T;
}

/**
 * A change of one break, as data. Every kind but `add-confirmation`, `add-reading` and `take-over` has an exact inverse:
 * confirmations and second readings are only ever added to.
 */
export type Edit =
  | { readonly kind: "set-number"; readonly number: string }
  | { readonly kind: "set-context"; readonly patch: Partial<BreakContext> }
  | { readonly kind: "set-pairing"; readonly patch: PairingPatch }
  | { readonly kind: "set-roles-known"; readonly known: boolean }
  | { readonly kind: "set-end"; readonly side: EndSide; readonly patch: Partial<Pick<End, "recovery" | "note">> }
  | { readonly kind: "swap-ends" }
  | { readonly kind: "add-photograph"; readonly side: EndSide; readonly index: number; readonly photograph: Photograph }
  | { readonly kind: "remove-photograph"; readonly photographId: string }
  | { readonly kind: "move-photograph"; readonly photographId: string; readonly to: EndSide; readonly index: number }
  | { readonly kind: "set-photograph"; readonly photographId: string; readonly patch: PhotographPatch }
  | { readonly kind: "add-mark"; readonly side: EndSide; readonly index: number; readonly mark: Mark }
  | { readonly kind: "remove-mark"; readonly markId: string }
  | { readonly kind: "set-mark"; readonly markId: string; readonly patch: MarkPatch }
  | { readonly kind: "set-route"; readonly route: Route | null }
  | { readonly kind: "set-binned"; readonly at: string | null }
  | { readonly kind: "add-confirmation"; readonly confirmation: Confirmation }
  | { readonly kind: "add-reading"; readonly reading: SecondReading }
  | { readonly kind: "set-came-with"; readonly list: readonly CameWith[] }
  /**
   * What other benches did comes to this one: their lines as they wrote them, and what leads from the record here to
   * the record that all lines of all benches lead to. `back` leads from there to here again, but for the lines added.
   */
  | {
      readonly kind: "take-over";
      readonly lines: readonly TakenLine[];
      readonly edits: readonly Edit[];
      readonly back: readonly Edit[];
      readonly confirmations: readonly InsertedLine<Confirmation>[];
      readonly readings: readonly InsertedLine<SecondReading>[];
    }
  | { readonly kind: "together"; readonly edits: readonly Edit[] };

export class EditError extends Error {
  constructor(
    readonly code:
      | "photograph-missing"
      | "mark-missing"
      | "photograph-has-marks"
      | "already-there"
      | "index-out-of-range"
      | "photograph-on-other-end",
    message: string,
  ) {
    super(message);
    this.name = "EditError";
  }
}

export interface Applied {
  readonly next: WireBreak;
  /** Restores the state before, except revision and updatedAt; null when the edit cannot be undone. */
  readonly inverse: Edit | null;
}

/**
 * Applies an edit to a break.
 *
 * @param at – time of the edit, ISO 8601; passed in, the model reads no clock.
 * @returns the next record (revision + 1) and the exact inverse.
 * @throws EditError when the edit names something that is not there; the record is unchanged then.
 */
export function applyEdit(wireBreak: WireBreak, edit: Edit, at: string): Applied {
  const { next, inverse } = change(wireBreak, edit);
  return { next: { ...next, revision: wireBreak.revision + 1, updatedAt: at }, inverse };
}

function change(b: WireBreak, edit: Edit): Applied {
  switch (edit.kind) {
    case "set-number":
      return { next: { ...b, number: edit.number }, inverse: { kind: "set-number", number: b.number } };
    case "set-context":
      return {
        next: { ...b, context: { ...b.context, ...edit.patch } },
        inverse: { kind: "set-context", patch: previous(b.context, edit.patch) },
      };
    case "set-pairing":
      return {
        next: { ...b, pairing: patched<Pairing>(b.pairing, edit.patch, PAIRING_EXTRAS) },
        inverse: { kind: "set-pairing", patch: previous<PairingPatch>(b.pairing, edit.patch, PAIRING_EXTRAS) },
      };
    case "set-roles-known":
      return { next: { ...b, rolesKnown: edit.known }, inverse: { kind: "set-roles-known", known: b.rolesKnown } };
    case "set-end": {
      const end = b.ends[edit.side];
      return {
        next: withEnd(b, edit.side, { ...end, ...edit.patch }),
        inverse: { kind: "set-end", side: edit.side, patch: previous(end, edit.patch) },
      };
    }
    case "swap-ends":
      return {
        next: { ...b, ends: { machine: b.ends.takeUp, takeUp: b.ends.machine } },
        inverse: { kind: "swap-ends" },
      };
    case "add-photograph": {
      if (findPhotograph(b, edit.photograph.id))
        throw new EditError("already-there", "This photograph is already filed.");
      const end = b.ends[edit.side];
      return {
        next: withEnd(b, edit.side, { ...end, photographs: inserted(end.photographs, edit.index, edit.photograph) }),
        inverse: { kind: "remove-photograph", photographId: edit.photograph.id },
      };
    }
    case "remove-photograph": {
      const at = requirePhotograph(b, edit.photographId);
      const end = b.ends[at.side];
      if (end.marks.some((m) => m.photographId === edit.photographId))
        throw new EditError("photograph-has-marks", "Remove the marks of this photograph first.");
      return {
        next: withEnd(b, at.side, { ...end, photographs: end.photographs.filter((p) => p.id !== edit.photographId) }),
        inverse: { kind: "add-photograph", side: at.side, index: at.index, photograph: at.photograph },
      };
    }
    case "move-photograph": {
      const from = requirePhotograph(b, edit.photographId);
      const carried = b.ends[from.side].marks.filter((m) => m.photographId === edit.photographId);
      if (from.side !== edit.to && carried.length > 0)
        throw new EditError("photograph-has-marks", "Its marks would change ends: use `refilePhotograph`.");
      const source = b.ends[from.side];
      const without = withEnd(b, from.side, {
        ...source,
        photographs: source.photographs.filter((p) => p.id !== edit.photographId),
      });
      const target = without.ends[edit.to];
      return {
        next: withEnd(without, edit.to, {
          ...target,
          photographs: inserted(target.photographs, edit.index, from.photograph),
        }),
        inverse: { kind: "move-photograph", photographId: edit.photographId, to: from.side, index: from.index },
      };
    }
    case "set-photograph": {
      const at = requirePhotograph(b, edit.photographId);
      const end = b.ends[at.side];
      return {
        next: withEnd(b, at.side, {
          ...end,
          photographs: end.photographs.map((p) =>
            p.id === edit.photographId ? patched<Photograph>(p, edit.patch, PHOTOGRAPH_EXTRAS) : p,
          ),
        }),
        inverse: {
          kind: "set-photograph",
          photographId: edit.photographId,
          patch: previous<PhotographPatch>(at.photograph, edit.patch, PHOTOGRAPH_EXTRAS),
        },
      };
    }
    case "add-mark": {
      if (findMark(b, edit.mark.id)) throw new EditError("already-there", "This mark is already there.");
      const end = b.ends[edit.side];
      if (edit.mark.photographId !== null && !end.photographs.some((p) => p.id === edit.mark.photographId))
        throw new EditError("photograph-missing", "The mark names a photograph that is not filed under this end.");
      return {
        next: withEnd(b, edit.side, { ...end, marks: inserted(end.marks, edit.index, edit.mark) }),
        inverse: { kind: "remove-mark", markId: edit.mark.id },
      };
    }
    case "remove-mark": {
      const at = requireMark(b, edit.markId);
      const end = b.ends[at.side];
      return {
        next: withEnd(b, at.side, { ...end, marks: end.marks.filter((m) => m.id !== edit.markId) }),
        inverse: { kind: "add-mark", side: at.side, index: at.index, mark: at.mark },
      };
    }
    case "set-mark": {
      const at = requireMark(b, edit.markId);
      const end = b.ends[at.side];
      const onto = edit.patch.photographId ?? null;
      if (onto !== null && !end.photographs.some((p) => p.id === onto))
        throw new EditError(
          "photograph-on-other-end",
          "A mark stays with its end: this photograph is not filed there.",
        );
      return {
        next: withEnd(b, at.side, {
          ...end,
          marks: end.marks.map((m) => (m.id === edit.markId ? patched<Mark>(m, edit.patch, MARK_EXTRAS) : m)),
        }),
        inverse: {
          kind: "set-mark",
          markId: edit.markId,
          patch: previous<MarkPatch>(at.mark, edit.patch, MARK_EXTRAS),
        },
      };
    }
    case "set-route":
      return { next: withRoute(b, edit.route), inverse: { kind: "set-route", route: b.route ?? null } };
    case "set-binned":
      return { next: { ...b, binnedAt: edit.at }, inverse: { kind: "set-binned", at: b.binnedAt } };
    case "add-confirmation":
      return { next: { ...b, confirmations: [...b.confirmations, edit.confirmation] }, inverse: null };
    case "add-reading":
      if (b.readings?.some(({ id }) => id === edit.reading.id))
        throw new EditError("already-there", "This second reading is already there.");
      return { next: { ...b, readings: [...(b.readings ?? []), edit.reading] }, inverse: null };
    case "set-came-with":
      return {
        next: withSources(b, edit.list),
        inverse: { kind: "set-came-with", list: b.cameWith ?? [] },
      };
    case "take-over": {
      const there = edit.edits.reduce((now, one) => change(now, one).next, b);
      const readings = withLines(there.readings ?? [], edit.readings);
      const next = { ...there, confirmations: withLines(there.confirmations, edit.confirmations) };
      return { next: readings.length === 0 ? next : { ...next, readings }, inverse: null };
    }
    case "together": {
      let next = b;
      const inverses: Edit[] = [];
      let undoable = true;
      for (const one of edit.edits) {
        const step = change(next, one);
        next = step.next;
        if (step.inverse === null) undoable = false;
        else inverses.unshift(step.inverse);
      }
      return { next, inverse: undoable ? { kind: "together", edits: inverses } : null };
    }
  }
}

/** The edit that files a photograph under the other end together with its marks. */
export function refilePhotograph(b: WireBreak, photographId: string, to: EndSide): Edit {
  const from = requirePhotograph(b, photographId);
  if (from.side === to) return { kind: "move-photograph", photographId, to, index: from.index };
  const marks = b.ends[from.side].marks.filter((m) => m.photographId === photographId);
  const first = b.ends[to].marks.length;
  return {
    kind: "together",
    edits: [
      ...marks.map((m): Edit => ({ kind: "remove-mark", markId: m.id })),
      { kind: "move-photograph", photographId, to, index: b.ends[to].photographs.length },
      ...marks.map((mark, i): Edit => ({ kind: "add-mark", side: to, index: first + i, mark })),
    ],
  };
}

/** The edit that takes a photograph out of the break together with its marks. The original stays in the store. */
export function takeOutPhotograph(b: WireBreak, photographId: string): Edit {
  const at = requirePhotograph(b, photographId);
  const marks = b.ends[at.side].marks.filter((m) => m.photographId === photographId);
  return {
    kind: "together",
    edits: [
      ...marks.map((m): Edit => ({ kind: "remove-mark", markId: m.id })),
      { kind: "remove-photograph", photographId },
    ],
  };
}

export interface PhotographPlace {
  readonly side: EndSide;
  readonly index: number;
  readonly photograph: Photograph;
}

export function findPhotograph(b: WireBreak, id: string): PhotographPlace | null {
  for (const side of END_SIDES) {
    const index = b.ends[side].photographs.findIndex((p) => p.id === id);
    const photograph = b.ends[side].photographs[index];
    if (photograph) return { side, index, photograph };
  }
  return null;
}

export interface MarkPlace {
  readonly side: EndSide;
  readonly index: number;
  readonly mark: Mark;
}

export function findMark(b: WireBreak, id: string): MarkPlace | null {
  for (const side of END_SIDES) {
    const index = b.ends[side].marks.findIndex((m) => m.id === id);
    const mark = b.ends[side].marks[index];
    if (mark) return { side, index, mark };
  }
  return null;
}

function requirePhotograph(b: WireBreak, id: string): PhotographPlace {
  const found = findPhotograph(b, id);
  if (!found) throw new EditError("photograph-missing", "This photograph is not filed under either end.");
  return found;
}

function requireMark(b: WireBreak, id: string): MarkPlace {
  const found = findMark(b, id);
  if (!found) throw new EditError("mark-missing", "This mark is not on either end.");
  return found;
}

function withEnd(b: WireBreak, side: EndSide, end: End): WireBreak {
  return {
    ...b,
    ends:
      side === "machine" ? { machine: end, takeUp: b.ends[otherSide(side)] } : { machine: b.ends.machine, takeUp: end },
  };
}

/** No route is the field left out, so that undoing the first one restores the record as it was. */
function withRoute({ route: _before, ...rest }: WireBreak, route: Route | null): WireBreak {
  return route === null ? rest : { ...rest, route };
}

/** Nothing it came with is the field left out. Oldest first, whoever wrote the list. */
function withSources({ cameWith: _before, ...rest }: WireBreak, list: readonly CameWith[]): WireBreak {
  return list.length === 0 ? rest : { ...rest, cameWith: [...list].sort(soonestFirst) };
}
/** By time, then by name and the rest of what they say: every bench finds the same order. */
export function soonestFirst(a: CameWith, b: CameWith): number {
  const key = ({ at, name, version, by, sha256, kind }: CameWith) =>
    JSON.stringify([at, name, version, by, sha256, kind]);
  return Date.parse(a.at) - Date.parse(b.at) || (key(a) < key(b) ? -1 : key(a) > key(b) ? 1 : 0);
}

const withLines = <T>(list: readonly T[], lines: readonly InsertedLine<T>[]): readonly T[] =>
  lines.reduce((now, { index, line }) => inserted(now, index, line), list);

function inserted<T>(list: readonly T[], index: number, item: T): readonly T[] {
  if (!Number.isInteger(index) || index < 0 || index > list.length)
    throw new EditError("index-out-of-range", "The place in the list does not exist.");
  return [...list.slice(0, index), item, ...list.slice(index)];
}

const PHOTOGRAPH_EXTRAS: readonly PhotographExtra[] = ["deepTone", "light", "page", "seeing", "turnedDown", "stack"];
const MARK_EXTRAS = ["proposed"] as const;
const PAIRING_EXTRAS = ["fit"] as const;

/** @param extras – names of the fields that null leaves out. */
function patched<T extends object>(whole: T, patch: object, extras: readonly (keyof T)[]): T {
  const next: T = { ...whole, ...patch };
  for (const key of extras) if (next[key] === null) delete next[key];
  return next;
}

/** The values a patch is about to replace; null for an extra that was left out. */
function previous<P extends object>(whole: Partial<P>, patch: P, extras: readonly (keyof P)[] = []): P {
  const before: Partial<P> = {};
  for (const key of Object.keys(patch) as (keyof P)[]) {
    const value: P[keyof P] | undefined = whole[key];
    before[key] = value === undefined && extras.includes(key) ? (null as P[keyof P]) : value!;
  }
  return before as P;
}
