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
  const r = Math.round(radius);
  if (r < 1) return new Float32Array(source);
  const across = new Float32Array(source.length);
  const out = new Float32Array(source.length);
  for (let pass = 0; pass < passes; pass++) {
    const from = pass === 0 ? source : out;
    if (channels === 4) alongRows4(from, across, width, height, r);
    else alongRows(from, across, width, height, channels, r);
    downColumns(across, out, width * channels, height, r);
  }
  return out;
}

function alongRows(a: Float32Array, b: Float32Array, width: number, height: number, channels: number, r: number): void {
  const norm = 1 / (2 * r + 1);
  const last = width - 1;
  for (let y = 0; y < height; y++) {
    const row = y * width * channels;
    for (let c = 0; c < channels; c++) {
      const first = row + c;
      let s = 0;
      for (let k = -r; k <= r; k++) s += a[first + (k < 0 ? 0 : k > last ? last : k) * channels]!;
      // The ends of a row repeat their last pixel; between them no place has to be looked after.
      const near = Math.min(r, width);
      const far = Math.max(near, width - r - 1);
      let x = 0;
      for (; x < near; x++) {
        b[first + x * channels] = s * norm;
        s += a[first + (x + r + 1 > last ? last : x + r + 1) * channels]! - a[first]!;
      }
      let to = first + x * channels;
      let add = to + (r + 1) * channels;
      let drop = to - r * channels;
      for (; x < far; x++) {
        b[to] = s * norm;
        s += a[add]! - a[drop]!;
        to += channels;
        add += channels;
        drop += channels;
      }
      for (; x < width; x++) {
        b[first + x * channels] = s * norm;
        s += a[first + last * channels]! - a[first + (x - r < 0 ? 0 : x - r) * channels]!;
      }
    }
  }
}

/** The same for colours with coverage, all four at once: most of the pictures' time goes here. */
function alongRows4(a: Float32Array, b: Float32Array, width: number, height: number, r: number): void {
  const norm = 1 / (2 * r + 1);
  const last = width - 1;
  for (let y = 0; y < height; y++) {
    const row = 4 * y * width;
    let s0 = 0;
    let s1 = 0;
    let s2 = 0;
    let s3 = 0;
    for (let k = -r; k <= r; k++) {
      const at = row + 4 * (k < 0 ? 0 : k > last ? last : k);
      s0 += a[at]!;
      s1 += a[at + 1]!;
      s2 += a[at + 2]!;
      s3 += a[at + 3]!;
    }
    for (let x = 0; x < width; x++) {
      const to = row + 4 * x;
      const add = row + 4 * (x + r + 1 > last ? last : x + r + 1);
      const drop = row + 4 * (x - r < 0 ? 0 : x - r);
      b[to] = s0 * norm;
      b[to + 1] = s1 * norm;
      b[to + 2] = s2 * norm;
      b[to + 3] = s3 * norm;
      s0 += a[add]! - a[drop]!;
      s1 += a[add + 1]! - a[drop + 1]!;
      s2 += a[add + 2]! - a[drop + 2]!;
      s3 += a[add + 3]! - a[drop + 3]!;
    }
  }
}

function downColumns(a: Float32Array, b: Float32Array, line: number, height: number, r: number): void {
  const norm = 1 / (2 * r + 1);
  const sum = new Float64Array(line);
  for (let k = -r; k <= r; k++) {
    const from = Math.min(height - 1, Math.max(0, k)) * line;
    for (let x = 0; x < line; x++) sum[x]! += a[from + x]!;
  }
  for (let y = 0; y < height; y++) {
    const add = Math.min(height - 1, y + r + 1) * line;
    const drop = Math.max(0, y - r) * line;
    const to = y * line;
    for (let x = 0; x < line; x++) {
      const s = sum[x]!;
      b[to + x] = s * norm;
      sum[x] = s + (a[add + x]! - a[drop + x]!);
    }
  }
}
