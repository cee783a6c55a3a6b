/**
 * The closed line around a middle that gathers most, one step of radius per ray, without jumps.
 *
 * @param gain – per ray and step: what the line gains by passing there.
 * @param bend – what one step of radius more or less from ray to ray costs; it grows with the square, up to three steps.
 * @returns the step on each ray.
 * @source R. Bellman's dynamic programming; the second round starts from where the first ended, so that the line closes;
 *   common practice, no source.
 */
export function traceRing(gain: Float32Array, rays: number, steps: number, bend: number): Int32Array {
  const jump = 3;
  const from = new Int16Array(2 * rays * steps);
  let best = Float64Array.from({ length: steps }, (_, s) => gain[s]!);
  for (let k = 1; k < 2 * rays; k++) {
    const row = (k % rays) * steps;
    const next = new Float64Array(steps);
    for (let s = 0; s < steps; s++) {
      let most = -Infinity;
      let at = s;
      for (let d = -jump; d <= jump; d++) {
        const t = s + d;
        if (t < 0 || t >= steps) continue;
        const v = best[t]! - bend * d * d;
        if (v > most) {
          most = v;
          at = t;
        }
      }
      next[s] = most + gain[row + s]!;
      from[k * steps + s] = at;
    }
    best = next;
  }
  let s = 0;
  for (let t = 1; t < steps; t++) if (best[t]! > best[s]!) s = t;
  const line = new Int32Array(rays);
  // The middle of the two rounds is free of both ends.
  for (let k = 2 * rays - 1; k > 0; k--) {
    if (k < rays + rays / 2 && k >= rays / 2) line[k % rays] = s;
    s = from[k * steps + s]!;
  }
  return line;
}
