/**
 * Box blur of interleaved channels, both directions, done `passes` times (two or three come close to a Gaussian).
 *
 * @param radius – half width of the box, px; 0 returns a copy.
 */
export function boxBlur(
  source: Float32Array,
  width: number,
  height: number,
  channels: number,
  radius: number,
  passes = 2,
): Float32Array {
  let a = Float32Array.from(source);
  const r = Math.round(radius);
  if (r < 1) return a;
  let b = new Float32Array(source.length);
  const norm = 1 / (2 * r + 1);
  const sum = new Float64Array(channels * width);
  for (let pass = 0; pass < passes; pass++) {
    for (let y = 0; y < height; y++) {
      const row = y * width * channels;
      for (let c = 0; c < channels; c++) {
        let s = 0;
        for (let k = -r; k <= r; k++) s += a[row + Math.min(width - 1, Math.max(0, k)) * channels + c]!;
        for (let x = 0; x < width; x++) {
          b[row + x * channels + c] = s * norm;
          s += a[row + Math.min(width - 1, x + r + 1) * channels + c]! - a[row + Math.max(0, x - r) * channels + c]!;
        }
      }
    }
    [a, b] = [b, a];
    const line = width * channels;
    sum.fill(0);
    for (let k = -r; k <= r; k++) {
      const from = Math.min(height - 1, Math.max(0, k)) * line;
      for (let x = 0; x < line; x++) sum[x]! += a[from + x]!;
    }
    for (let y = 0; y < height; y++) {
      const add = Math.min(height - 1, y + r + 1) * line;
      const drop = Math.max(0, y - r) * line;
      const to = y * line;
      for (let x = 0; x < line; x++) {
        b[to + x] = sum[x]! * norm;
        sum[x]! += a[add + x]! - a[drop + x]!;
      }
    }
    [a, b] = [b, a];
  }
  return a;
}
