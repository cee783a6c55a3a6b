import { type Edit, findMark, findPhotograph, refilePhotograph, takeOutPhotograph } from "../../break/edits.ts";
import { type EndSide, otherSide, type WireBreak } from "../../break/wire-break.ts";
import { idOfPart } from "./fields.ts";
import type { Merged } from "./merge.ts";

/**
 * The edit by which a person says what a field is that stands with several values: an ordinary edit, which knows all of
 * them. It is made even where the record says that value already, and then says that it stays.
 *
 * @param field – name of the field as the conflict gives it.
 * @param value – one of the values of the conflict; undefined = taken out.
 * @returns null when the record has changed so much that the field is no longer there.
 */
export function settlingEdit(
  { record, swapped }: Pick<Merged, "record" | "swapped">,
  field: string,
  value: unknown,
): Edit | null {
  const [head = "", name = "", key] = field.split("/");
  switch (head) {
    case "number":
      return typeof value === "string" ? { kind: "set-number", number: value } : null;
    case "rolesKnown":
      return { kind: "set-roles-known", known: value === true };
    case "binnedAt":
      return { kind: "set-binned", at: (value ?? null) as string | null };
    case "route":
      return { kind: "set-route", route: (value ?? null) as WireBreak["route"] & object };
    case "swapped":
      return value === swapped
        ? { kind: "together", edits: [{ kind: "swap-ends" }, { kind: "swap-ends" }] }
        : { kind: "swap-ends" };
    case "context":
      return { kind: "set-context", patch: { [name]: value ?? null } };
    case "pairing":
      return { kind: "set-pairing", patch: { [name]: value ?? null } };
    case "end":
      return key === undefined ? null : { kind: "set-end", side: lies(name, swapped), patch: { [key]: value } };
    case "photograph":
      return ofPhotograph(record, swapped, idOfPart(name), key, value);
    case "mark":
      return ofMark(record, idOfPart(name), key, value);
    default:
      return null;
  }
}

/** Where an end lies now, from where it lay at the beginning. */
export const lies = (was: unknown, swapped: boolean): EndSide => {
  const side: EndSide = was === "takeUp" ? "takeUp" : "machine";
  return swapped ? otherSide(side) : side;
};

function ofPhotograph(
  record: WireBreak,
  swapped: boolean,
  photographId: string,
  key: string | undefined,
  value: unknown,
): Edit | null {
  const there = findPhotograph(record, photographId);
  if (there === null) return null;
  if (key !== undefined) return { kind: "set-photograph", photographId, patch: { [key]: value ?? null } };
  if (value === undefined) return takeOutPhotograph(record, photographId);
  const to = lies(value, swapped);
  if (to !== there.side) return refilePhotograph(record, photographId, to);
  return { kind: "set-photograph", photographId, patch: {} };
}

function ofMark(record: WireBreak, markId: string, key: string | undefined, value: unknown): Edit | null {
  if (findMark(record, markId) === null) return null;
  if (key !== undefined) return { kind: "set-mark", markId, patch: { [key]: value ?? null } };
  if (value === undefined) return { kind: "remove-mark", markId };
  return { kind: "set-mark", markId, patch: {} };
}
