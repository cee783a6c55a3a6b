import { describe, expect, test } from "vitest";
import { applyEdit, type Edit } from "../../../model/break/edits.ts";
import { newBreak } from "../../../model/break/new-break.ts";
import { originalsOf, originalsOfEdit } from "../../../model/break/originals.ts";
import type { Photograph } from "../../../model/break/wire-break.ts";
import { PLAIN_VIEW } from "../../../model/picture/view-settings.ts";

const AT = "2026-03-02T08:00:00Z";
const hash = (digit: string): string => digit.repeat(64);
const file = (digit: string) => ({ hash: hash(digit), fileName: `${digit}.tif` });

function photograph(digit: string, more: Partial<Photograph> = {}): Photograph {
  return {
    id: `p${digit}`,
    ...file(digit),
    mediaType: "image/tiff",
    byteLength: 1,
    widthPx: 10,
    heightPx: 10,
    orientation: 1,
    capturedAt: null,
    view: "end_on",
    turnDeg: 0,
    scale: null,
    axisDeg: null,
    rendered: false,
    ...more,
  };
}
const filed = (...photographs: Photograph[]): Edit => ({
  kind: "together",
  edits: photographs.map((p, index) => ({ kind: "add-photograph", side: "machine", index, photograph: p })),
});

describe("originals of a break", () => {
  test("are its photographs, their blank frames and the frames of stacks, each once", () => {
    const edit = filed(
      photograph("1", { seeing: { ...PLAIN_VIEW, flatField: file("b") } }),
      photograph("2", { seeing: { ...PLAIN_VIEW, flatField: file("b") } }),
      photograph("3", { stack: { frames: [file("4"), file("1")], stepUm: null } }),
    );
    const { next } = applyEdit(newBreak("b", "B-1", AT), edit, AT);
    const expected = ["1", "b", "2", "3", "4"].map(file);
    expect(originalsOf(next)).toEqual(expected);
    expect(originalsOfEdit(edit)).toEqual(expected);
  });

  test("that an edit brings in are still named by its inverse when it is taken back", () => {
    const start = applyEdit(newBreak("b", "B-1", AT), filed(photograph("1")), AT).next;
    const seeing = { ...PLAIN_VIEW, flatField: file("b") };
    const step = applyEdit(start, { kind: "set-photograph", photographId: "p1", patch: { seeing } }, AT);
    const back = applyEdit(step.next, { kind: "set-photograph", photographId: "p1", patch: { seeing: null } }, AT);
    expect(originalsOf(back.next)).toEqual([file("1")]);
    expect(originalsOfEdit({ kind: "set-photograph", photographId: "p1", patch: { seeing } })).toEqual([file("b")]);
    expect(back.inverse === null ? [] : originalsOfEdit(back.inverse)).toEqual([file("b")]);
  });

  test("of edits that name none are none", () => {
    expect(originalsOfEdit({ kind: "set-number", number: "B-2" })).toEqual([]);
    expect(originalsOfEdit({ kind: "set-photograph", photographId: "p1", patch: { turnDeg: 90 } })).toEqual([]);
  });
});
