import { randomStream } from "../noise.ts";

/** Parameters drawn from a seed, one after the other: the same seed and the same order give the same values. */
export class Draw {
  private readonly next: () => number;

  constructor(seed: number) {
    this.next = randomStream(seed);
  }

  between(lo: number, hi: number): number {
    return lo + (hi - lo) * this.next();
  }

  /** Even on a log scale: sizes. */
  size(lo: number, hi: number): number {
    return Math.exp(this.between(Math.log(lo), Math.log(hi)));
  }

  /** Whole number, both limits included. */
  whole(lo: number, hi: number): number {
    return Math.min(hi, lo + Math.floor(this.next() * (hi - lo + 1)));
  }

  chance(p: number): boolean {
    return this.next() < p;
  }

  sign(): 1 | -1 {
    return this.chance(0.5) ? 1 : -1;
  }

  /** Any direction, radians. */
  turn(): number {
    return this.between(-Math.PI, Math.PI);
  }

  pick<const T>(list: readonly T[]): T {
    return list[Math.min(list.length - 1, Math.floor(this.next() * list.length))]!;
  }
}
