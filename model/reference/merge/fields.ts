import { type Edit, soonestFirst } from "../../break/edits.ts";
import type {
  CameWith,
  Confirmation,
  End,
  EndSide,
  Mark,
  Photograph,
  SecondReading,
  WireBreak,
} from "../../break/wire-break.ts";
import { END_SIDES, otherSide } from "../../break/wire-break.ts";

/** A record as a table: name of the field → its value. What is not there has no row. */
export type Fields = ReadonlyMap<string, unknown>;

/** Fields of a record that every bench counts for itself. */
const OWN = ["revision", "updatedAt"];
const SPECIAL = ["ends", "context", "pairing", "confirmations", "readings", "cameWith", ...OWN];

/** An identifier as a step of a field's name, and back: identifiers may hold any sign. */
export const pathPart = (id: string): string => id.replaceAll("~", "~0").replaceAll("/", "~1");
export const idOfPart = (part: string): string => part.replaceAll("~1", "/").replaceAll("~0", "~");

/** How often an edit puts each end in the other's place, odd or even. */
export const swaps = (edit: Edit): boolean =>
  edit.kind === "swap-ends" || (edit.kind === "together" && edit.edits.filter(swaps).length % 2 === 1);

/**
 * Takes a record apart into fields.
 *
 * Ends are named by where they lay at the beginning, so that what one bench files while another swaps the ends stays
 * with its end.
 *
 * @param swapped – whether the ends have changed places since the beginning.
 */
export function fieldsOf(record: WireBreak, swapped: boolean): Fields {
  const fields = new Map<string, unknown>([["swapped", swapped]]);
  const put = (prefix: string, content: object, but: readonly string[] = []): void => {
    for (const [key, value] of Object.entries(content)) if (!but.includes(key)) fields.set(`${prefix}${key}`, value);
  };
  put("", record, SPECIAL);
  put("context/", record.context);
  put("pairing/", record.pairing);
  record.confirmations.forEach((line) => fields.set(`confirmation/${pathPart(line.id)}`, line));
  record.readings?.forEach((reading) => fields.set(`reading/${pathPart(reading.id)}`, reading));
  // Each for itself: two benches that took different sets in came with both.
  record.cameWith?.forEach((one) =>
    fields.set(`cameWith/${pathPart(JSON.stringify(Object.entries(one).sort()))}`, one),
  );
  for (const side of END_SIDES) {
    const end = record.ends[side];
    const was = swapped ? otherSide(side) : side;
    put(`end/${was}/`, end, ["photographs", "marks"]);
    fields.set(
      `order/${was}/photographs`,
      end.photographs.map((p) => p.id),
    );
    fields.set(
      `order/${was}/marks`,
      end.marks.map((m) => m.id),
    );
    for (const [kind, list] of [
      ["photograph", end.photographs],
      ["mark", end.marks],
    ] as const)
      for (const one of list) {
        fields.set(`${kind}/${pathPart(one.id)}`, was);
        put(`${kind}/${pathPart(one.id)}/`, one, ["id"]);
      }
  }
  return fields;
}

/** Confirmations and second readings of a record, in their order. */
export interface AddedIds {
  readonly confirmations: readonly string[];
  readonly readings: readonly string[];
}

/** Puts a record together from its fields; counters are set by the caller. */
export function recordOf(fields: Fields, start: WireBreak, ids: AddedIds): WireBreak {
  const under = (prefix: string): Record<string, unknown> => {
    const found: Record<string, unknown> = {};
    for (const [key, value] of fields)
      if (key.startsWith(prefix) && !key.slice(prefix.length).includes("/")) found[key.slice(prefix.length)] = value;
    return found;
  };
  const swapped = fields.get("swapped") === true;
  const plain = under("");
  delete plain["swapped"];
  const listed = (kind: "photograph" | "mark", was: EndSide): readonly string[] => {
    const here = [...fields]
      .filter(([key, side]) => side === was && new RegExp(`^${kind}/[^/]+$`).test(key))
      .map(([key]) => idOfPart(key.slice(kind.length + 1)));
    const order = (fields.get(`order/${was}/${kind}s`) ?? []) as readonly string[];
    const placed = order.filter((id) => here.includes(id));
    return [...placed, ...here.filter((id) => !placed.includes(id)).sort()];
  };
  const end = (side: EndSide): End => {
    const was = swapped ? otherSide(side) : side;
    return {
      ...under(`end/${was}/`),
      photographs: listed("photograph", was).map(
        (id) => ({ id, ...under(`photograph/${pathPart(id)}/`) }) as Photograph,
      ),
      marks: listed("mark", was).map((id) => ({ id, ...under(`mark/${pathPart(id)}/`) }) as Mark),
    } as unknown as End;
  };
  const cameWith = (Object.values(under("cameWith/")) as CameWith[]).sort(soonestFirst);
  return {
    ...(plain as unknown as WireBreak),
    revision: start.revision,
    updatedAt: start.updatedAt,
    ends: { machine: end("machine"), takeUp: end("takeUp") },
    context: under("context/") as unknown as WireBreak["context"],
    pairing: under("pairing/") as unknown as WireBreak["pairing"],
    confirmations: ids.confirmations.map((id) => fields.get(`confirmation/${pathPart(id)}`) as Confirmation),
    ...(cameWith.length === 0 ? {} : { cameWith }),
    ...(ids.readings.length === 0
      ? {}
      : { readings: ids.readings.map((id) => fields.get(`reading/${pathPart(id)}`) as SecondReading) }),
  };
}
