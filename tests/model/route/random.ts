/** Seeded source of randomness, so that a simulated mill is the same in every run. */
export class Random {
  constructor(private seed: number) {}
  /** 0–1, by a 32-bit mixing step. */
  next(): number {
    this.seed = (this.seed + 0x6d2b79f5) | 0;
    let t = Math.imul(this.seed ^ (this.seed >>> 15), 1 | this.seed);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  }
  between = (low: number, high: number): number => low + (high - low) * this.next();
  whole = (low: number, high: number): number => Math.floor(this.between(low, high + 1));
  chance = (p: number): boolean => this.next() < p;
  normal = (mean: number, sd: number): number =>
    mean + sd * Math.sqrt(-2 * Math.log(1 - this.next())) * Math.cos(2 * Math.PI * this.next());
  oneOf = <T>(list: readonly T[]): T => list[this.whole(0, list.length - 1)]!;
  /** Index drawn with these weights. */
  weighted(weights: readonly number[]): number {
    let left = this.next() * weights.reduce((sum, w) => sum + w, 0);
    const at = weights.findIndex((w) => (left -= w) < 0);
    return at < 0 ? weights.length - 1 : at;
  }
}
