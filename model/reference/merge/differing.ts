import type { WireBreak } from "../../break/wire-break.ts";
import { END_SIDES } from "../../break/wire-break.ts";
import { contentKey } from "./history.ts";

export interface Difference {
  /** Name of the field as in a conflict, or `photographs`, `marks`, `confirmed`. */
  readonly field: string;
  readonly here: unknown;
  readonly there: unknown;
}

/** What two records say differently that have no common beginning, field by field; lists go by what they hold. */
export function differing(here: WireBreak, there: WireBreak): readonly Difference[] {
  const [a, b] = [said(here), said(there)];
  return [...new Set([...a.keys(), ...b.keys()])].flatMap((field) =>
    contentKey([a.get(field)]) === contentKey([b.get(field)])
      ? []
      : [{ field, here: a.get(field), there: b.get(field) }],
  );
}

function said({ number, rolesKnown, context, pairing, ends, route, confirmations }: WireBreak): Map<string, unknown> {
  const fields = new Map<string, unknown>([
    ["number", number],
    ["rolesKnown", rolesKnown],
  ]);
  for (const [key, value] of Object.entries(context)) fields.set(`context/${key}`, value);
  fields.set("pairing/mate", pairing.mate);
  for (const side of END_SIDES) {
    const { recovery, note, photographs, marks } = ends[side];
    fields.set(`end/${side}/recovery`, recovery);
    fields.set(`end/${side}/note`, note);
    fields.set(`end/${side}/photographs`, photographs.map(({ hash }) => hash).sort());
    fields.set(
      `end/${side}/marks`,
      marks.map(({ feature, state, geometry }) => contentKey([feature, state, geometry])).sort(),
    );
  }
  fields.set("route", route);
  const last = confirmations.at(-1);
  fields.set("confirmed", last?.kind === "confirmed" ? last.type : null);
  return fields;
}
