import { type Fields, pathPart } from "./fields.ts";
import { type MergeConflict, type RivalValue, THING, type Write } from "./merge.ts";

const plain = ({ value, by, at }: Write): RivalValue => ({ value, by, at });

/** Things that one bench took out while another changed them or drew on them come back. */
export function broughtBack(
  fields: Map<string, unknown>,
  first: Fields,
  latest: ReadonlyMap<string, Write>,
  writes: ReadonlyMap<string, readonly Write[]>,
  knew: (line: number, earlier: number) => boolean,
  place: ReadonlyMap<number, number>,
): readonly MergeConflict[] {
  const conflicts: MergeConflict[] = [];
  // In the common order and by name, never in the order in which the lines happened to be read.
  const inRow = (list: readonly Write[]): readonly Write[] =>
    [...list].sort((a, b) => place.get(a.line)! - place.get(b.line)!);
  const bringBack = (thing: string, because: Write | null): void => {
    const gone = latest.get(thing)!;
    const was = (writes.get(thing) ?? []).filter((w) => w.value !== undefined).at(-1)?.value;
    fields.set(thing, was ?? first.get(thing));
    conflicts.push({
      field: thing,
      kept: { ...plain(because ?? gone), value: fields.get(thing) },
      others: [plain(gone)],
    });
  };
  const changes = new Map<string, Write[]>();
  for (const [field, list] of writes) {
    const thing = THING.exec(field)?.[0];
    if (thing === undefined || thing === field || fields.has(thing)) continue;
    changes.set(thing, [...(changes.get(thing) ?? []), ...list]);
  }
  for (const [thing, changed] of [...changes].sort(([a], [b]) => (a < b ? -1 : 1))) {
    const gone = latest.get(thing);
    if (gone?.value !== undefined || gone === undefined) continue;
    const meanwhile = inRow(changed).find((w) => !knew(gone.line, w.line) && w.line !== gone.line);
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
export function followPhotographs(fields: Map<string, unknown>): void {
  for (const [field, photographId] of [...fields]) {
    const mark = /^mark\/[^/]+(?=\/photographId$)/.exec(field)?.[0];
    const side = fields.get(`photograph/${pathPart(String(photographId))}`);
    if (mark !== undefined && fields.has(mark) && side !== undefined) fields.set(mark, side);
  }
}
