import type { Chain, HistoryEntry } from "./history.ts";
import { isTakenOver, namesOf } from "./history.ts";

export interface OrderedEntry {
  readonly name: string;
  readonly entry: HistoryEntry;
}

export interface Order {
  /** Every entry of every chain once, none before one it followed on some bench. */
  readonly entries: readonly OrderedEntry[];
  /** Whether the bench that wrote `after` had `before` in its log then. */
  readonly knew: (after: string, before: string) => boolean;
}

/**
 * All entries in one line. Entries written without knowing of each other go by their time, then by who wrote them, then
 * by what they hold, so every bench finds the same line.
 */
export function orderOf(chains: readonly Chain[]): Order {
  const all = new Map<string, HistoryEntry>();
  const before = new Map<string, Set<string>>();
  /** @returns all that the bench knew of at the end of its chain. */
  const walk = (chain: Chain): ReadonlySet<string> => {
    const knownHere = new Set<string>();
    const names = namesOf(chain);
    chain.forEach((line, i) => {
      if (isTakenOver(line)) {
        for (const name of line.merged.flatMap((other) => [...walk(other)])) knownHere.add(name);
        return;
      }
      const name = names[i]!;
      all.set(name, line);
      const known = before.get(name) ?? new Set();
      for (const earlier of knownHere) if (earlier !== name) known.add(earlier);
      before.set(name, known);
      knownHere.add(name);
    });
    return knownHere;
  };
  chains.forEach(walk);
  const stamp = (name: string): readonly [number, string, string] => {
    const { at, by } = all.get(name)!;
    const time = Date.parse(at);
    return [Number.isNaN(time) ? 0 : time, by, name];
  };
  const sooner = (a: string, b: string): number => {
    const [x, y] = [stamp(a), stamp(b)];
    return x[0] - y[0] || (x[1] < y[1] ? -1 : x[1] > y[1] ? 1 : x[2] < y[2] ? -1 : x[2] > y[2] ? 1 : 0);
  };
  const waiting = [...all.keys()].sort(sooner);
  const done = new Set<string>();
  const entries: OrderedEntry[] = [];
  while (waiting.length > 0) {
    // Two benches may have put the same entries into different orders; then the soonest goes first.
    const ready = waiting.findIndex((name) => [...before.get(name)!].every((earlier) => done.has(earlier)));
    const [name] = waiting.splice(Math.max(0, ready), 1) as [string];
    done.add(name);
    entries.push({ name, entry: all.get(name)! });
  }
  return { entries, knew: (after, earlier) => before.get(after)?.has(earlier) ?? false };
}
