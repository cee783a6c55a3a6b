import { evenContrast, LOCAL_CONTRAST } from "../pixels/local-contrast.ts";
import type { Raster } from "../pixels/grey.ts";
import { LIGHT_OF_BYTE, LIGHT_STEPS, LIGHT_WEIGHTS, STORED_OF_LIGHT } from "./srgb.ts";

/** Colour is amplified this much at most; what is missing then is added as grey, so that dark noise stays grey. */
const MOST_RATIO = 8;

/**
 * Lightness L* over 100 of relative light.
 * @source CIE 15:2004, 8.2.1.1 (CIE 1976 lightness)
 */
export const lightnessOf = (light: number): number =>
  light > (6 / 29) ** 3 ? 1.16 * Math.cbrt(light) - 0.16 : ((29 / 3) ** 3 * light) / 100;

/** Relative light of lightness L* over 100. @source CIE 15:2004, 8.2.1.1, solved for Y */
export function lightOfLightness(lightness: number): number {
  if (lightness <= 0.08) return (lightness * 100) / (29 / 3) ** 3;
  const root = (lightness + 0.16) / 1.16;
  return root * root * root;
}

/** Lightness in 256 steps of light in `LIGHT_STEPS` steps. */
const LIGHTNESS_OF_LIGHT = Uint8Array.from({ length: LIGHT_STEPS + 1 }, (_, i) =>
  Math.round(255 * lightnessOf(i / LIGHT_STEPS)),
);
const WEIGHTED_LIGHT = LIGHT_WEIGHTS.map((w) => LIGHT_OF_BYTE.map((light) => light * w * LIGHT_STEPS)) as [
  Float64Array,
  Float64Array,
  Float64Array,
];

/** Lightness in 256 steps, one byte per pixel. */
export function lightnessPlane({ widthPx, heightPx, rgba }: Raster): Uint8Array {
  const [red, green, blue] = WEIGHTED_LIGHT;
  const plane = new Uint8Array(widthPx * heightPx);
  for (let i = 0, at = 0; i < plane.length; i++, at += 4)
    plane[i] = LIGHTNESS_OF_LIGHT[(red[rgba[at]!]! + green[rgba[at + 1]!]! + blue[rgba[at + 2]!]! + 0.5) | 0]!;
  return plane;
}

/**
 * Evens out the contrast of a picture over its area, on lightness alone: the colour of a place keeps its hue.
 * The pixels are overwritten.
 *
 * @param amount – 0 … 1: share of the way from the lightness it has to the evened-out one.
 */
export function evenLightness(raster: Raster, amount: number): void {
  if (amount <= 0) return;
  const { widthPx, heightPx, rgba } = raster;
  const before = lightnessPlane(raster);
  const after = evenContrast({ widthPx, heightPx, data: before }, LOCAL_CONTRAST);
  const { ratio, added } = stepTables(amount);
  const stored = STORED_OF_LIGHT;
  for (let i = 0, at = 0; i < before.length; i++, at += 4) {
    const step = (before[i]! << 8) | after[i]!;
    const red = LIGHT_OF_BYTE[rgba[at]!]!;
    const green = LIGHT_OF_BYTE[rgba[at + 1]!]!;
    const blue = LIGHT_OF_BYTE[rgba[at + 2]!]!;
    const most = red > green ? (red > blue ? red : blue) : green > blue ? green : blue;
    let times = ratio[step]!;
    let plus = added[step]!;
    if (times > 1 && times * most > 1) {
      // The strongest channel is at its end: the rest of the lightness comes as grey.
      const full = Math.max(1, 1 / most);
      plus += (times - full) * (LIGHT_WEIGHTS[0] * red + LIGHT_WEIGHTS[1] * green + LIGHT_WEIGHTS[2] * blue);
      times = full;
    }
    const k = times * LIGHT_STEPS;
    const p = plus * LIGHT_STEPS + 0.5;
    rgba[at] = stored[Math.min(LIGHT_STEPS, red * k + p) | 0]!;
    rgba[at + 1] = stored[Math.min(LIGHT_STEPS, green * k + p) | 0]!;
    rgba[at + 2] = stored[Math.min(LIGHT_STEPS, blue * k + p) | 0]!;
  }
}

/** What light is multiplied by, and what is added, for every step from a lightness (high byte) to another (low byte). */
function stepTables(amount: number) {
  const ratio = new Float32Array(65_536);
  const added = new Float32Array(65_536);
  for (let from = 0; from < 256; from++) {
    const have = lightOfLightness(from / 255);
    for (let to = 0; to < 256; to++) {
      const wanted = lightOfLightness((from + amount * (to - from)) / 255);
      const times = from === to ? 1 : have === 0 ? 1 : Math.min(MOST_RATIO, wanted / have);
      ratio[(from << 8) | to] = times;
      added[(from << 8) | to] = Math.max(0, wanted - times * have);
    }
  }
  return { ratio, added };
}
