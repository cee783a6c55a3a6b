import type { Confirmation, EndSide, Mark, SecondReading, WireBreak } from "../../break/wire-break.ts";
import { END_SIDES, otherSide } from "../../break/wire-break.ts";
import { readerKey, samePerson } from "./reader-name.ts";

export type Confirmed = Extract<Confirmation, { readonly kind: "confirmed" }>;

/** A first reading with the second one that is compared with it, by two people. */
export interface ReadPair {
  readonly first: Confirmed;
  readonly second: SecondReading;
}

type Read = Pick<WireBreak, "confirmations" | "readings">;

/**
 * The confirmation a second reading is compared with: the one it was made beside; for a break that nobody had confirmed
 * by then, the first one that does not rest on the reading. null = there is none.
 */
export function firstLineFor({ confirmations }: Read, { id, beside }: SecondReading): Confirmed | null {
  const lines = confirmations.filter((line) => line.kind === "confirmed");
  if (beside !== null) return lines.find((line) => line.id === beside) ?? null;
  return lines.find((line) => line.resolves?.includes(id) !== true) ?? null;
}

/**
 * Second readings that count: of each reader the earliest one. A reading by the person who gave the first label is no
 * second one and is left out.
 */
export function pairsOf(wireBreak: Read): readonly ReadPair[] {
  const seen = new Set<string>();
  return inTime(wireBreak.readings ?? []).flatMap((second) => {
    const first = firstLineFor(wireBreak, second);
    const reader = readerKey(second.by);
    if (first === null || seen.has(reader) || samePerson(first.by, second.by)) return [];
    seen.add(reader);
    return [{ first, second }];
  });
}

const inTime = (readings: readonly SecondReading[]): readonly SecondReading[] =>
  [...readings].sort((a, b) => Date.parse(a.at) - Date.parse(b.at));

/** What became of a disagreement. */
export type Settlement =
  | { readonly state: "open" }
  /** A later confirmation names the reading, or followed on re-opening the break. */
  | { readonly state: "settled"; readonly line: Confirmed }
  | { readonly state: "reopened"; readonly line: Exclude<Confirmation, Confirmed> };

export function settlementOf({ confirmations }: Read, reading: Pick<SecondReading, "id" | "at">): Settlement {
  const naming = confirmations.findLast((line) => line.kind === "confirmed" && line.resolves?.includes(reading.id));
  if (naming?.kind === "confirmed") return { state: "settled", line: naming };
  const reopenedAt = confirmations.findIndex(
    (line) => line.kind === "reopened" && Date.parse(line.at) >= Date.parse(reading.at),
  );
  const reopened = confirmations[reopenedAt];
  if (reopened?.kind !== "reopened") return { state: "open" };
  const after = confirmations.slice(reopenedAt).findLast((line) => line.kind === "confirmed");
  return after === undefined ? { state: "reopened", line: reopened } : { state: "settled", line: after };
}

/** Marks of both readers by the ends as they lie now; the second reader's later marks on the bench are not the first's. */
export function marksOfBoth(
  { ends }: Pick<WireBreak, "ends">,
  { marks, by }: Pick<SecondReading, "marks" | "by">,
): Readonly<Record<EndSide, { readonly first: readonly Mark[]; readonly second: readonly Mark[] }>> {
  const filed = new Map(END_SIDES.flatMap((side) => ends[side].photographs.map((p) => [p.id, side] as const)));
  const sideNow = (mark: Mark, side: EndSide): EndSide => filed.get(mark.photographId ?? "") ?? whole(side);
  /** Marks stated without a picture follow the others of their end, when the ends were swapped since. */
  const moved = (side: EndSide): boolean => {
    const drawn = marks[side].flatMap(({ photographId }) => filed.get(photographId ?? "") ?? []);
    return drawn.length > 0 && drawn.every((now) => now !== side);
  };
  const swapped = END_SIDES.some(moved) && !END_SIDES.some((side) => stays(side));
  function stays(side: EndSide): boolean {
    return marks[side].some(({ photographId }) => filed.get(photographId ?? "") === side);
  }
  const whole = (side: EndSide): EndSide => (swapped ? otherSide(side) : side);
  const second = END_SIDES.flatMap((side) => marks[side].map((mark) => ({ mark, side: sideNow(mark, side) })));
  const of = (side: EndSide) => ({
    first: ends[side].marks.filter((mark) => !samePerson(mark.by, by)),
    second: second.filter((each) => each.side === side).map(({ mark }) => mark),
  });
  return { machine: of("machine"), takeUp: of("takeUp") };
}
