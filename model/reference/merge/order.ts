import type { Line } from "./history.ts";

/** Which lines a bench had when it wrote each line: one bit per line, 32 to a word. */
export class Known {
  readonly #bits: readonly Uint32Array[];

  /** @param lines – none before one that it followed. */
  constructor(lines: readonly Line[]) {
    const words = Math.ceil(lines.length / 32);
    const bits: Uint32Array[] = [];
    for (const { after } of lines) {
      const mine = new Uint32Array(words);
      for (const i of after) {
        bits[i]!.forEach((word, w) => (mine[w]! |= word));
        mine[i >>> 5]! |= 1 << (i & 31);
      }
      bits.push(mine);
    }
    this.#bits = bits;
  }

  /** Whether the bench that wrote `line` had `earlier` then. */
  knew(line: number, earlier: number): boolean {
    return ((this.#bits[line]![earlier >>> 5]! >>> (earlier & 31)) & 1) === 1;
  }

  /** These lines and everything their benches had then, as places in the list, rising. */
  upTo(lines: readonly number[]): readonly number[] {
    const all = new Set(lines);
    for (const line of lines)
      this.#bits[line]!.forEach((word, w) => {
        for (let rest = word; rest !== 0; rest &= rest - 1) all.add(w * 32 + 31 - Math.clz32(rest & -rest));
      });
    return [...all].sort((a, b) => a - b);
  }
}

/**
 * Some lines in one row. Lines written without knowing of each other go by their time, then by who wrote them, then by
 * what they hold, so every bench finds the same row; none goes before one that it followed.
 *
 * @param some – places of lines; with each line everything that it followed.
 * @param keys – content of each line as text.
 */
export function inOrder(lines: readonly Line[], some: readonly number[], keys: readonly string[]): readonly number[] {
  const time = (i: number): number => {
    const parsed = Date.parse(lines[i]!.at);
    return Number.isNaN(parsed) ? 0 : parsed;
  };
  const text = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0);
  const sooner = (a: number, b: number): number =>
    time(a) - time(b) || text(lines[a]!.by, lines[b]!.by) || text(keys[a]!, keys[b]!) || a - b;
  const waiting = [...some].sort(sooner);
  const done = new Set<number>();
  const row: number[] = [];
  while (waiting.length > 0) {
    const ready = waiting.findIndex((i) => lines[i]!.after.every((earlier) => done.has(earlier)));
    const [line] = waiting.splice(Math.max(0, ready), 1) as [number];
    done.add(line);
    row.push(line);
  }
  return row;
}
