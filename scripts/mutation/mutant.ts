/** A place in a file: lines from 1, columns from 0 within the line, end exclusive. */
export interface Place {
  readonly start: { readonly line: number; readonly column: number };
  readonly end: { readonly line: number; readonly column: number };
}

/** One small change to one file, which a test should notice. */
export interface Mutant {
  /** Path from the root of the copy, with forward slashes. */
  readonly file: string;
  readonly place: Place;
  /** Name of the kind of change, as the tool calls it. */
  readonly kind: string;
  readonly replacement: string;
}

/** The same words for the same change, however a run numbers its mutants. */
export function mutantKey({ file, place, kind, replacement }: Mutant): string {
  const { start, end } = place;
  return `${file}:${start.line}:${start.column}-${end.line}:${end.column} ${kind} ${replacement}`;
}

/** The text of a file between the two ends of a place. */
export function textAt(source: string, { start, end }: Place): string {
  const lines = source.split("\n").slice(start.line - 1, end.line);
  const last = lines.length - 1;
  return lines.map((line, i) => line.slice(i === 0 ? start.column : 0, i === last ? end.column : undefined)).join("\n");
}
