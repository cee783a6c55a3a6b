/** Numbers in [0, 1) that follow from the seed alone, the same on every machine. */
export type Stream = () => number;

/** @param seed – any whole number. @source mulberry32 by T. Ettinger (public domain), from memory. */
export function seeded(seed: number): Stream {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = state;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

/** 0 … n − 1 in an order that follows from the stream (Fisher–Yates). */
export function shuffled(n: number, next: Stream): Int32Array {
  const order = Int32Array.from({ length: n }, (_, i) => i);
  for (let i = n - 1; i > 0; i--) {
    const j = Math.floor(next() * (i + 1));
    const kept = order[i]!;
    order[i] = order[j]!;
    order[j] = kept;
  }
  return order;
}
