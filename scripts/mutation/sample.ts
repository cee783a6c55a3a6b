/** Numbers in [0, 1) that follow from the seed (mulberry32, from memory), so that a sample can be drawn again. */
function seeded(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32;
  };
}

/**
 * A simple random sample without replacement; every subset of that size is as likely as any other.
 *
 * @param count – how many; all, in their own order, when there are no more than that.
 */
export function drawSample<T>(all: readonly T[], count: number, seed: number): readonly T[] {
  if (count >= all.length) return all;
  const random = seeded(seed);
  const left = [...all];
  const drawn: T[] = [];
  while (drawn.length < count) drawn.push(...left.splice(Math.floor(random() * left.length), 1));
  return drawn;
}

/**
 * Wilson's score interval of a proportion: stays within 0 and 1, and is honest near both, unlike p ± 1.96 s.
 *
 * @returns lower and upper limit at 95 %; [0, 1] when nothing was tried.
 * @source E. B. Wilson, Probable inference, the law of succession, and statistical inference, J. Am. Stat. Assoc. 22
 * (1927) 209–212; formula from memory.
 */
export function wilsonInterval(hits: number, tried: number): readonly [number, number] {
  if (tried === 0) return [0, 1];
  const z = 1.959964;
  const p = hits / tried;
  const scale = 1 + z ** 2 / tried;
  const centre = (p + z ** 2 / (2 * tried)) / scale;
  const half = (z / scale) * Math.sqrt((p * (1 - p)) / tried + z ** 2 / (4 * tried ** 2));
  return [Math.max(0, centre - half), Math.min(1, centre + half)];
}
