import type { Edit } from "../../break/edits.ts";
import { MAX_MARKS, MAX_PHOTOGRAPHS } from "../../break/record-schema.ts";
import type { EndSide, Mark, Photograph } from "../../break/wire-break.ts";
import { END_SIDES } from "../../break/wire-break.ts";
import { VIEW_IDS, type ViewId } from "../../evidence/features.ts";
import { END_LETTER } from "../export/coco.ts";
import { type ImportedPicture, sizeFault } from "./coco.ts";

/** How pictures become breaks: each its own, by the start of the file name, or by a word the file gives each picture. */
export type Grouping =
  { readonly by: "picture" } | { readonly by: "name" } | { readonly by: "word"; readonly key: string };

/** Words that sort pictures into fewer groups than there are pictures; `case_id` first, which says so itself. */
export function groupingWords(pictures: readonly ImportedPicture[]): readonly string[] {
  const values = new Map<string, Set<string>>();
  const counts = new Map<string, number>();
  for (const { says } of pictures)
    for (const [key, value] of Object.entries(says)) {
      if (["end", "view", "scale_method"].includes(key)) continue;
      values.set(key, (values.get(key) ?? new Set()).add(value));
      counts.set(key, (counts.get(key) ?? 0) + 1);
    }
  return [...values.keys()]
    .filter(
      (key) => key === "case_id" || (counts.get(key) === pictures.length && values.get(key)!.size < pictures.length),
    )
    .sort((a, b) => Number(b === "case_id") - Number(a === "case_id") || (a < b ? -1 : 1));
}

export interface PictureGroup {
  /** Number that the break would have. */
  readonly number: string;
  readonly pictures: readonly ImportedPicture[];
}

/** Pictures as breaks, in the order of the file. A picture without the word is a break of its own. */
export function groupPictures(pictures: readonly ImportedPicture[], grouping: Grouping): readonly PictureGroup[] {
  const groups = new Map<string, ImportedPicture[]>();
  for (const picture of pictures) {
    const name = baseName(picture.fileName);
    const number =
      grouping.by === "picture"
        ? name
        : grouping.by === "name"
          ? (/^(.+)[-_ ]/.exec(name)?.[1] ?? name)
          : (picture.says[grouping.key] ?? name);
    groups.set(number, [...(groups.get(number) ?? []), picture]);
  }
  return [...groups].map(([number, list]) => ({ number, pictures: list }));
}

/** The name of a file without its folders and its ending. */
export const baseName = (path: string): string =>
  path
    .split(/[/\\]/)
    .at(-1)!
    .replace(/\.[A-Za-z0-9]{1,5}$/, "")
    .slice(0, 200);

/** A picture of the file with the photograph it turned out to be. */
export interface FoundPicture {
  readonly picture: ImportedPicture;
  readonly photograph: Omit<Photograph, "id" | "view" | "turnDeg" | "scale" | "axisDeg" | "rendered">;
}

/** What keeps a group from becoming a break; null = nothing. */
export function groupFault({ number, pictures }: PictureGroup): string | null {
  if (pictures.length > MAX_PHOTOGRAPHS)
    return `${number} would have ${pictures.length} photographs; a break has at most ${MAX_PHOTOGRAPHS}. Group them otherwise.`;
  const marks = pictures.reduce((sum, { marks }) => sum + marks.length, 0);
  return marks > MAX_MARKS ? `${number} would have ${marks} marks; an end has at most ${MAX_MARKS}.` : null;
}

/**
 * The edit that files pictures with their marks under the ends of a new break. Pictures that do not say their end go
 * to the machine end, those that do not say their view are "other".
 *
 * @throws RangeError when marks were drawn on pictures of another size: they would lie beside their place.
 */
export function filePictures(
  found: readonly FoundPicture[],
  { newId, by, at }: { readonly newId: () => string; readonly by: string; readonly at: string },
): Edit {
  const edits: Edit[] = [];
  const counts: Record<EndSide, { photographs: number; marks: number }> = {
    machine: { photographs: 0, marks: 0 },
    takeUp: { photographs: 0, marks: 0 },
  };
  for (const { picture, photograph } of found) {
    const fault = sizeFault(picture, photograph);
    if (fault !== null) throw new RangeError(fault);
    const side = END_SIDES.find((one) => END_LETTER[one] === picture.says["end"]) ?? "machine";
    const count = counts[side];
    if (count.photographs === 0) edits.push({ kind: "set-end", side, patch: { recovery: "recovered" } });
    const id = newId();
    const named = picture.says["view"] as ViewId | undefined;
    const view = named !== undefined && VIEW_IDS.includes(named) ? named : "other";
    const whole: Photograph = { ...photograph, id, view, turnDeg: 0, scale: null, axisDeg: null, rendered: false };
    edits.push({ kind: "add-photograph", side, index: count.photographs++, photograph: whole });
    for (const { feature, geometry, note } of picture.marks) {
      const mark: Mark = {
        id: newId(),
        feature,
        state: "present",
        photographId: id,
        geometry,
        given: {},
        note,
        by,
        at,
      };
      edits.push({ kind: "add-mark", side, index: count.marks++, mark });
    }
  }
  return { kind: "together", edits };
}
