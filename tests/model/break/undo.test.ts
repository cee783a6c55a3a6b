import { describe, expect, test } from "vitest";
import { applyEdit } from "../../../model/break/edits.ts";
import { historyOf, type LogLine, nextRedo, nextUndo, redoStep, undoStep } from "../../../model/break/undo.ts";
import type { WireBreak } from "../../../model/break/wire-break.ts";
import { AT, confirmation, dice, editFor, startBreak, undoable } from "./random-breaks.ts";
import fc from "../../properties.ts";

/** A bench reduced to its record and its stored log. */
class Bench {
  record: WireBreak = startBreak();
  log: LogLine[] = [];

  commit(line: Pick<LogLine, "edit" | "origin" | "of">): void {
    const { next, inverse } = applyEdit(this.record, line.edit, AT);
    this.log.push({ ...line, seq: this.log.length * 3 + 1, inverse });
    this.record = next;
  }
  undo(): void {
    const step = undoStep(this.log);
    if (step) this.commit(step);
  }
  redo(): void {
    const step = redoStep(this.log);
    if (step) this.commit(step);
  }
  reload(): void {
    this.log = JSON.parse(JSON.stringify(this.log)) as LogLine[];
  }
}

const line = (seq: number, origin: LogLine["origin"], of: number | null = null): LogLine => ({
  seq,
  origin,
  of,
  edit: { kind: "set-number", number: `n${seq}` },
  inverse: { kind: "set-number", number: "before" },
});
const seqs = (lines: readonly LogLine[]) => lines.map((l) => l.seq);

describe("undo read from the stored log", () => {
  test("random doing, undoing, redoing, confirming and reloading agrees with a plain list of states", () => {
    const step = fc.oneof(
      { weight: 4, arbitrary: fc.record({ act: fc.constant("do" as const), thrown: dice }) },
      { weight: 3, arbitrary: fc.constant({ act: "undo" as const }) },
      { weight: 2, arbitrary: fc.constant({ act: "redo" as const }) },
      { weight: 1, arbitrary: fc.constant({ act: "confirm" as const }) },
      { weight: 1, arbitrary: fc.constant({ act: "reload" as const }) },
    );
    fc.assert(
      fc.property(fc.array(step, { maxLength: 60 }), (steps) => {
        const bench = new Bench();
        const states = [undoable(bench.record)];
        let here = 0;
        for (const s of steps) {
          if (s.act === "do") {
            bench.commit({ edit: editFor(bench.record, s.thrown), origin: "reader", of: null });
            states.length = here + 1;
            states.push(undoable(bench.record));
            here += 1;
          } else if (s.act === "undo") {
            bench.undo();
            here = Math.max(0, here - 1);
          } else if (s.act === "redo") {
            bench.redo();
            here = Math.min(states.length - 1, here + 1);
          } else if (s.act === "confirm") {
            const edit = { kind: "add-confirmation", confirmation: confirmation(`c${bench.log.length}`) } as const;
            bench.commit({ edit, origin: "confirmation", of: null });
          } else bench.reload();
          expect(undoable(bench.record)).toEqual(states[here]);
          const { undo, redo } = historyOf(bench.log);
          expect([undo.length, redo.length]).toEqual([here, states.length - 1 - here]);
        }
      }),
      { numRuns: 300 },
    );
  });

  test("nothing to take back is an answer, not an error", () => {
    expect(historyOf([])).toEqual({ undo: [], redo: [] });
    expect([nextUndo([]), nextRedo([]), undoStep([]), redoStep([])]).toEqual([null, null, null, null]);
  });

  test("a new reader edit empties the redo side", () => {
    const log = [line(1, "reader"), line(2, "reader"), line(3, "undo", 2), line(4, "reader")];
    expect(seqs(historyOf(log).undo)).toEqual([1, 4]);
    expect(historyOf(log).redo).toEqual([]);
  });

  test("loading, importing and confirming can neither be undone nor empty the redo side", () => {
    const log = [
      line(1, "import"),
      line(2, "reader"),
      line(3, "undo", 2),
      { ...line(4, "confirmation"), inverse: null },
      line(5, "load"),
    ];
    expect(historyOf(log).undo).toEqual([]);
    expect(seqs(historyOf(log).redo)).toEqual([2]);
    expect(redoStep(log)).toEqual({ edit: log[1]!.edit, origin: "redo", of: 2 });
  });

  test("a reader edit without an inverse is passed over by undo", () => {
    const log = [line(1, "reader"), { ...line(2, "reader"), inverse: null }];
    expect(nextUndo(log)?.seq).toBe(1);
  });

  test("a line that takes back the wrong edit changes nothing", () => {
    const log = [line(1, "reader"), line(2, "reader"), line(3, "undo", 1), line(4, "redo", 2), line(5, "undo", 99)];
    expect(seqs(historyOf(log).undo)).toEqual([1, 2]);
    expect(historyOf(log).redo).toEqual([]);
  });
});
