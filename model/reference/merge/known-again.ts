import { contentKey, type History, type Line } from "./history.ts";

/** Content without who did it: sets go out with codes for people. */
const blind = (value: unknown): string =>
  contentKey(JSON.parse(JSON.stringify(value, (key, inner: unknown) => (key === "by" ? "" : inner))) as unknown);

/**
 * A history in which people go under codes, with the names known here put back on every line that is known here: a line
 * is known by what it did, when, and what it followed. What is new keeps its codes.
 *
 * @param here – history of this bench.
 * @param coded – the same break as it came back or came from elsewhere.
 */
export function knownAgain(here: History, coded: History): History {
  const start = blind(here.start) === blind(coded.start) ? here.start : coded.start;
  const known = new Map<string, Line>();
  here.lines.forEach((line) => known.set(blind(line), line));
  /** Place here of each coded line that is known; the others get places of their own behind them. */
  const places: number[] = [];
  let fresh = here.lines.length;
  const lines = coded.lines.map((line): Line => {
    const after = line.after.map((i) => places[i] ?? i).sort((a, b) => a - b);
    const found = known.get(blind({ ...line, after }));
    places.push(found === undefined ? fresh++ : here.lines.indexOf(found));
    return found === undefined ? line : { ...line, edit: found.edit, by: found.by, at: found.at };
  });
  return { start, lines };
}
