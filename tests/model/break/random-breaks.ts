import {
  type Edit,
  findMark,
  type PhotographPatch,
  refilePhotograph,
  takeOutPhotograph,
} from "../../../model/break/edits.ts";
import type { Geometry } from "../../../model/break/geometry.ts";
import { newBreak } from "../../../model/break/new-break.ts";
import type {
  Confirmation,
  EndSide,
  Mark,
  Photograph,
  SecondReading,
  WireBreak,
} from "../../../model/break/wire-break.ts";
import { FEATURE_IDS, VIEW_IDS } from "../../../model/evidence/features.ts";
import { MARK_STATES } from "../../../model/evidence/observations.ts";
import fc from "../../properties.ts";

export const AT = "2026-03-02T08:00:00Z";

export const startBreak = (): WireBreak => newBreak("b-0001", "B-0001", AT);

export const photograph = (id: string, over: Partial<Photograph> = {}): Photograph => ({
  id,
  hash: "0".repeat(64),
  fileName: `${id}.jpg`,
  mediaType: "image/jpeg",
  byteLength: 1000,
  widthPx: 2400,
  heightPx: 1600,
  orientation: 1,
  capturedAt: null,
  view: "end_on",
  turnDeg: 0,
  scale: null,
  axisDeg: null,
  rendered: false,
  ...over,
});

export const mark = (id: string, over: Partial<Mark> = {}): Mark => ({
  id,
  feature: "end_hole",
  state: "present",
  photographId: null,
  geometry: null,
  given: {},
  note: "",
  by: "AB",
  at: AT,
  ...over,
});

export const confirmation = (id: string): Confirmation => ({
  kind: "reopened",
  id,
  reason: "a second look",
  by: "AB",
  at: AT,
});

export const secondReading = (id: string, over: Partial<SecondReading> = {}): SecondReading => ({
  id,
  type: "central_burst",
  marks: { machine: [mark(`${id}-own`)], takeUp: [] },
  note: "",
  by: "CD",
  at: AT,
  beside: null,
  revision: 0,
  ...over,
});

/** Five dice for one edit: what to do, and where. Shrinks toward the simplest edit. */
export type Dice = readonly [number, number, number, number, number];
export const dice: fc.Arbitrary<Dice> = fc.tuple(
  fc.nat({ max: 14 }),
  fc.nat({ max: 97 }),
  fc.nat({ max: 97 }),
  fc.nat({ max: 9973 }),
  fc.nat({ max: 97 }),
);

const shape = (n: number): Geometry =>
  n % 2 === 0 ? { type: "point", points: [[n, n + 1]] } : { type: "ellipse", cx: n, cy: 2, rx: 3, ry: 4, angle_deg: 5 };

/** The edit these dice choose; always one that the break in hand allows. */
export function editFor(b: WireBreak, [kind, a, c, fresh, d]: Dice): Edit {
  const side: EndSide = a % 2 === 0 ? "machine" : "takeUp";
  const end = b.ends[side];
  const photographs = [...b.ends.machine.photographs, ...b.ends.takeUp.photographs];
  const marks = [...b.ends.machine.marks, ...b.ends.takeUp.marks];
  const someMark = marks[c % Math.max(1, marks.length)];
  const somePhotograph = photographs[c % Math.max(1, photographs.length)];
  const addPhotograph: Edit = {
    kind: "add-photograph",
    side,
    index: c % (end.photographs.length + 1),
    photograph: photograph(`p${photographs.length}-${b.revision}-${fresh}`, { view: VIEW_IDS[d % VIEW_IDS.length]! }),
  };
  const addMark: Edit = {
    kind: "add-mark",
    side,
    index: c % (end.marks.length + 1),
    mark: mark(`m${marks.length}-${b.revision}-${fresh}`, {
      feature: FEATURE_IDS[d % FEATURE_IDS.length]!,
      state: MARK_STATES[c % 3]!,
      photographId: end.photographs[d % Math.max(1, end.photographs.length)]?.id ?? null,
      geometry: d % 3 === 0 || end.photographs.length === 0 ? null : shape(d),
    }),
  };
  switch (kind) {
    case 0:
      return { kind: "set-number", number: `B-${fresh}` };
    case 1:
      return { kind: "set-context", patch: { metal: ["copper", "steel", null][c % 3]!, notes: `note ${fresh}` } };
    case 2:
      return { kind: "set-pairing", patch: { mate: (["yes", "no", "unsure", null] as const)[c % 4]! } };
    case 3:
      return { kind: "set-roles-known", known: c % 2 === 0 };
    case 4:
      return { kind: "set-end", side, patch: { recovery: c % 2 === 0 ? "not-recovered" : "recovered", note: `${d}` } };
    case 5:
      return { kind: "swap-ends" };
    case 6:
      return addPhotograph;
    case 7:
      return somePhotograph ? takeOutPhotograph(b, somePhotograph.id) : addPhotograph;
    case 8:
      return somePhotograph ? refilePhotograph(b, somePhotograph.id, side) : addPhotograph;
    case 9:
      return somePhotograph
        ? { kind: "set-photograph", photographId: somePhotograph.id, patch: photographPatch(d) }
        : addPhotograph;
    case 10:
      return addMark;
    case 11:
      return someMark ? { kind: "remove-mark", markId: someMark.id } : addMark;
    case 12:
      return someMark
        ? {
            kind: "set-mark",
            markId: someMark.id,
            patch: { geometry: someMark.photographId === null ? null : shape(d), note: `${fresh}` },
          }
        : addMark;
    case 13:
      return { kind: "set-binned", at: c % 2 === 0 ? AT : null };
    default:
      return {
        kind: "together",
        edits: [{ kind: "swap-ends" }, addMarkAfterSwap(b, addMark), { kind: "set-number", number: `T-${d}` }],
      };
  }
}

/** The same mark put on the end that its photograph has moved to. */
function addMarkAfterSwap(b: WireBreak, edit: Edit): Edit {
  if (edit.kind !== "add-mark" || findMark(b, edit.mark.id)) return { kind: "set-roles-known", known: true };
  return { ...edit, side: edit.side === "machine" ? "takeUp" : "machine" };
}

/** What undo must restore: everything but the counters and the history that is only ever added to. */
export const undoable = (b: WireBreak): WireBreak => ({ ...b, revision: 0, updatedAt: "", confirmations: [] });

/** Fields always there and fields that a record may leave out, set, changed and left out again. */
function photographPatch(d: number): PhotographPatch {
  switch (d % 3) {
    case 0:
      return { turnDeg: (d * 90) % 360, axisDeg: d };
    case 1:
      return { seeing: { exposureEv: d % 4, contrast: 0, localContrast: 0, flatField: null, neutral: null }, page: d };
    default:
      return { seeing: null, turnedDown: d % 2 === 0 ? [] : null };
  }
}
