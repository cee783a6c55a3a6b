import type { Edit } from "./edits.ts";

/** What undo needs to know of one line of the stored edit log; the stored entry carries more. */
export interface LogLine {
  /** Rises along the log. */
  readonly seq: number;
  readonly edit: Edit;
  /** Restores the state before; null when the edit cannot be undone. */
  readonly inverse: Edit | null;
  /** Only `reader` edits can be undone; `undo` and `redo` name one of them in `of`. */
  readonly origin: "reader" | "load" | "import" | "undo" | "redo" | "confirmation";
  /** For undo and redo: the seq of the reader edit that is taken back or repeated. */
  readonly of: number | null;
}

export interface History<L extends LogLine = LogLine> {
  /** Reader edits that can be taken back, oldest first: the last one is next. */
  readonly undo: readonly L[];
  /** Reader edits that can be repeated, the last one is next. */
  readonly redo: readonly L[];
}

/**
 * What can be undone and repeated, read from the append-only edit log of one break.
 *
 * Nothing else is stored, so undo survives a reload exactly. A new reader edit empties the redo side. Loading,
 * importing and confirming leave both sides alone, and selecting never reaches the log at all. A line that names an
 * edit which is not in the right place (a damaged log) changes nothing.
 *
 * @param log – lines of one break in the order in which they were stored.
 */
export function historyOf<L extends LogLine>(log: readonly L[]): History<L> {
  const undo: L[] = [];
  const redo: L[] = [];
  for (const line of log) {
    if (line.origin === "reader") {
      redo.length = 0;
      if (line.inverse !== null) undo.push(line);
    } else if (line.origin === "undo" && undo.at(-1)?.seq === line.of) {
      moveLast(undo, redo);
    } else if (line.origin === "redo" && redo.at(-1)?.seq === line.of) {
      moveLast(redo, undo);
    }
  }
  return { undo, redo };
}

/** The reader edit that undo would take back now; null when there is none. */
export function nextUndo<L extends LogLine>(log: readonly L[]): L | null {
  return historyOf(log).undo.at(-1) ?? null;
}

/** The reader edit that redo would repeat now; null when there is none. */
export function nextRedo<L extends LogLine>(log: readonly L[]): L | null {
  return historyOf(log).redo.at(-1) ?? null;
}

/** An edit ready to be applied and stored as an undo or a redo. */
export interface HistoryStep {
  readonly edit: Edit;
  readonly origin: "undo" | "redo";
  readonly of: number;
}

/** The step that undo makes now; null when there is nothing to take back. */
export function undoStep(log: readonly LogLine[]): HistoryStep | null {
  const line = nextUndo(log);
  return line?.inverse ? { edit: line.inverse, origin: "undo", of: line.seq } : null;
}

/** The step that redo makes now; null when there is nothing to repeat. */
export function redoStep(log: readonly LogLine[]): HistoryStep | null {
  const line = nextRedo(log);
  return line === null ? null : { edit: line.edit, origin: "redo", of: line.seq };
}

function moveLast<T>(from: T[], to: T[]): void {
  const last = from.pop();
  if (last !== undefined) to.push(last);
}
