/** Breaks one reader has set out to read, in the order they are served. Kept on the disk. */
export interface Round {
  readonly ids: readonly string[];
  /** Those of `ids` that are read. */
  readonly read: readonly string[];
  /** ISO 8601. */
  readonly begunAt: string;
}

/** The break to read now; null when the round is over. */
export const nextOf = ({ ids, read }: Round): string | null => ids.find((id) => !read.includes(id)) ?? null;

export const isOver = (round: Round): boolean => nextOf(round) === null;

export const withRead = (round: Round, id: string): Round =>
  !round.ids.includes(id) || round.read.includes(id) ? round : { ...round, read: [...round.read, id] };

/** Puts a break back: it comes last of those not read yet. */
export const putBack = (round: Round, id: string): Round =>
  !round.ids.includes(id) || round.read.includes(id)
    ? round
    : { ...round, ids: [...round.ids.filter((each) => each !== id), id] };

/** Takes a break out of the round: it cannot be read by this reader, or is gone. */
export const without = (round: Round, id: string): Round => ({
  ...round,
  ids: round.ids.filter((each) => each !== id),
  read: round.read.filter((each) => each !== id),
});

/** A round as it came from the disk; null when it is none. */
export function roundFrom(kept: unknown): Round | null {
  if (typeof kept !== "object" || kept === null) return null;
  const { ids, read, begunAt } = kept as Record<string, unknown>;
  const texts = (list: unknown): list is string[] => Array.isArray(list) && list.every((id) => typeof id === "string");
  return texts(ids) && texts(read) && typeof begunAt === "string" && ids.length > 0 ? { ids, read, begunAt } : null;
}
