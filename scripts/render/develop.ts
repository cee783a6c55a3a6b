import { boxBlur } from "./blur.ts";
import type { Layer } from "./layer.ts";
import { hash, mix } from "./noise.ts";

/** What the camera does to the light. */
export interface CameraSetup {
  readonly exposure: number;
  /** Softness of the optics, px at full size. */
  readonly softnessPx: number;
  /** Fall-off of light to the corners, 0–1. */
  readonly vignette: number;
  /** Sensor noise, standard deviation in 8-bit steps at mid grey. */
  readonly noise: number;
  /** White balance: red and blue gain. */
  readonly red: number;
  readonly blue: number;
}

/** 8-bit RGB, rows from the top. */
export interface Pixels {
  readonly width: number;
  readonly height: number;
  readonly rgb: Uint8Array;
}

const TONE_STEPS = 16384;
const TONE_PER_UNIT = TONE_STEPS / 4;
/** Straight in the shadows, rolling off before white, as a camera's own curve. 8-bit value by light. */
const TONE = Float32Array.from({ length: TONE_STEPS + 1 }, (_, n) => {
  const shown = Math.min(1, Math.pow((1 - Math.exp((-1.45 * n) / TONE_PER_UNIT)) * 1.02, 1 / 2.2));
  return 255 * mix(shown, shown * shown * (3 - 2 * shown), 0.45);
});
/** Noise grows with the light. */
const GRAIN = Float32Array.from(
  { length: TONE_STEPS + 1 },
  (_, n) => 1.4 + 1.2 * Math.sqrt(1 - Math.exp((-1.35 * n) / TONE_PER_UNIT)),
);

/** Blurs each pixel by its own radius: blends between pictures blurred evenly by fixed radii. */
export function defocus(layer: Layer, radii: readonly number[]): Float32Array {
  const { width } = layer;
  const [first, last] = usedRows(layer, Math.ceil(2 * Math.max(...radii)) + 2);
  const height = last - first;
  const rgba = layer.rgba.subarray(4 * first * width, 4 * last * width);
  const levels = [rgba, ...radii.map((r) => boxBlur(rgba, width, height, 4, r))];
  const steps = [0, ...radii];
  const reach = Math.max(1, radii[0] ?? 1);
  const blur = boxBlur(layer.blur.subarray(first * width, last * width), width, height, 1, reach);
  const out = new Float32Array(layer.rgba.length);
  const start = 4 * first * width;
  for (let i = 0; i < blur.length; i++) {
    let k = 0;
    while (k + 2 < steps.length && blur[i]! > steps[k + 1]!) k++;
    const t = Math.min(1, Math.max(0, (blur[i]! - steps[k]!) / (steps[k + 1]! - steps[k]!)));
    const a = levels[k]!;
    const b = levels[k + 1]!;
    for (let c = 4 * i; c < 4 * i + 4; c++) out[start + c] = mix(a[c]!, b[c]!, t);
  }
  return out;
}

/** First and last row that show the wire, with a margin. */
function usedRows(layer: Layer, margin: number): readonly [number, number] {
  const { width, height, rgba } = layer;
  const used = (y: number): boolean => {
    for (let x = 0; x < width; x++) if (rgba[4 * (y * width + x) + 3]! > 0) return true;
    return false;
  };
  let first = 0;
  while (first < height - 1 && !used(first)) first++;
  let last = height;
  while (last > first + 1 && !used(last - 1)) last--;
  return [Math.max(0, first - margin), Math.min(height, last + margin)];
}

/** Puts the wire over the background and turns light into the bytes a camera would write. */
export function develop(
  layer: Layer,
  background: Float32Array,
  camera: CameraSetup,
  radii: readonly number[],
  scale: number,
  seed: number,
): Pixels {
  const { width, height } = layer;
  const front = radii.length > 0 ? defocus(layer, radii) : layer.rgba;
  const light = new Float32Array(3 * width * height);
  for (let j = 0; j < height; j++)
    for (let i = 0; i < width; i++) {
      const at = j * width + i;
      const x = (i / width - 0.5) * 2;
      const y = (j / height - 0.5) * 2 * (height / width);
      const fall = 1 - camera.vignette * (x * x + y * y) * 0.6;
      const keep = 1 - front[4 * at + 3]!;
      for (let c = 0; c < 3; c++)
        light[3 * at + c] = (front[4 * at + c]! + background[3 * at + c]! * keep) * fall * camera.exposure;
    }
  const soft = camera.softnessPx * scale;
  const blurred = soft < 1 ? light : boxBlur(light, width, height, 3, Math.floor(soft), 2);
  const more = boxBlur(light, width, height, 3, Math.floor(soft) + 1, 2);
  const part = soft - Math.floor(soft);
  const gain = [camera.red, 1, camera.blue];
  const rgb = new Uint8Array(3 * width * height);
  for (let c = 0; c < 3; c++) {
    const own = gain[c]!;
    for (let at = 0; at < width * height; at++) {
      const v = Math.max(0, mix(blurred[3 * at + c]!, more[3 * at + c]!, part)) * own;
      const n = Math.min(TONE_STEPS, Math.round(v * TONE_PER_UNIT));
      const bits = hash(at, c, seed);
      const grain = ((bits & 1023) + ((bits >>> 10) & 1023) + ((bits >>> 20) & 1023)) / 1023 - 1.5;
      const shown = TONE[n]!;
      const strength = camera.noise * GRAIN[n]!;
      rgb[3 * at + c] = Math.max(0, Math.min(255, Math.round(shown + grain * strength)));
    }
  }
  return { width, height, rgb };
}
