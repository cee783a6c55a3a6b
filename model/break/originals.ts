import type { Edit } from "./edits.ts";
import type { Photograph, WireBreak } from "./wire-break.ts";

/** A file that a record needs to be shown as it was: kept in the store once, under its hash. */
export interface NamedOriginal {
  /** SHA-256, lower-case hex. */
  readonly hash: string;
  readonly fileName: string;
}

/** What can name an original on a photograph, whole or in a patch. */
type Naming = Partial<Pick<Photograph, "hash" | "fileName">> & {
  readonly seeing?: Photograph["seeing"] | null;
  readonly stack?: Photograph["stack"] | null;
};

/**
 * Every original that a break needs now: its photographs, the blank frames they are divided by, and the frames that
 * stacked pictures were put together from. Whoever collects originals asks here, so that none is forgotten.
 *
 * @returns each hash once, with the first name it was given.
 */
export function originalsOf(wireBreak: WireBreak): readonly NamedOriginal[] {
  const { machine, takeUp } = wireBreak.ends;
  return once([...machine.photographs, ...takeUp.photographs].flatMap(named));
}

/** Every original that an edit names: undoing and redoing need them after the record has let them go. */
export function originalsOfEdit(edit: Edit): readonly NamedOriginal[] {
  switch (edit.kind) {
    case "add-photograph":
      return once(named(edit.photograph));
    case "set-photograph":
      return once(named(edit.patch));
    case "take-over":
      return once([...edit.lines.map((line) => line.edit), ...edit.edits, ...edit.back].flatMap(originalsOfEdit));
    case "together":
      return once(edit.edits.flatMap(originalsOfEdit));
    default:
      return [];
  }
}

function named({ hash, fileName, seeing, stack }: Naming): readonly NamedOriginal[] {
  return [
    ...(hash !== undefined && fileName !== undefined ? [{ hash, fileName }] : []),
    ...(seeing?.flatField ? [seeing.flatField] : []),
    ...(stack?.frames ?? []),
  ];
}

function once(list: readonly NamedOriginal[]): readonly NamedOriginal[] {
  const found = new Map<string, NamedOriginal>();
  for (const { hash, fileName } of list) if (!found.has(hash)) found.set(hash, { hash, fileName });
  return [...found.values()];
}
