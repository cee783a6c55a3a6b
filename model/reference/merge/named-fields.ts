import type { Edit } from "../../break/edits.ts";
import { otherSide } from "../../break/wire-break.ts";
import { pathPart, swaps } from "./fields.ts";

/**
 * Fields that an edit names, whether it changes them or not. An empty patch of a photograph or a mark names the thing
 * itself: it stays.
 *
 * @param swapped – whether the ends have changed places since the beginning, before the edit.
 */
export function fieldsNamed(edit: Edit, swapped: boolean): readonly string[] {
  const under = (prefix: string, patch: object): readonly string[] =>
    Object.keys(patch).map((key) => `${prefix}/${key}`);
  const ofThing = (thing: string, patch: object): readonly string[] =>
    Object.keys(patch).length === 0 ? [thing] : under(thing, patch);
  switch (edit.kind) {
    case "set-number":
      return ["number"];
    case "set-roles-known":
      return ["rolesKnown"];
    case "set-binned":
      return ["binnedAt"];
    case "set-route":
      return ["route"];
    case "set-context":
      return under("context", edit.patch);
    case "set-pairing":
      return under("pairing", edit.patch);
    case "set-end":
      return under(`end/${swapped ? otherSide(edit.side) : edit.side}`, edit.patch);
    case "swap-ends":
      return ["swapped"];
    case "set-photograph":
      return ofThing(`photograph/${pathPart(edit.photographId)}`, edit.patch);
    case "set-mark":
      return ofThing(`mark/${pathPart(edit.markId)}`, edit.patch);
    case "together": {
      let now = swapped;
      return edit.edits.flatMap((one) => {
        const named = fieldsNamed(one, now);
        now = now !== swaps(one);
        return named;
      });
    }
    default:
      // Adding, moving and taking out always change something.
      return [];
  }
}
