import { evenContrast, LOCAL_CONTRAST } from "../pixels/local-contrast.ts";
import type { Raster } from "../pixels/grey.ts";
import { LIGHT_OF_BYTE, LIGHT_STEPS, LIGHT_WEIGHTS, storedOf } from "./srgb.ts";

/** Stored values are amplified this much at most; what is missing then is added as grey, so dark noise stays grey. */
const MOST_RATIO = 4;

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
/** Share of red, green and blue in the light, in `LIGHT_STEPS` steps; white comes to all of them. */
const WEIGHTED_LIGHT = LIGHT_WEIGHTS.map((w) =>
  Int32Array.from(LIGHT_OF_BYTE, (l) => Math.round(l * w * LIGHT_STEPS)),
) as [Int32Array, Int32Array, Int32Array];

/** Lightness in 256 steps, one byte per pixel. */
export function lightnessPlane({ widthPx, heightPx, rgba }: Raster): Uint8Array {
  const [red, green, blue] = WEIGHTED_LIGHT;
  const plane = new Uint8Array(widthPx * heightPx);
  for (let i = 0, at = 0; i < plane.length; i++, at += 4)
    plane[i] = LIGHTNESS_OF_LIGHT[red[rgba[at]!]! + green[rgba[at + 1]!]! + blue[rgba[at + 2]!]!]!;
  return plane;
}

/**
 * Evens out the contrast of a picture over its area, on lightness alone. The stored values of a pixel are multiplied
 * alike, so that grey meets the new lightness exactly and colours keep their hue. The pixels are overwritten.
 *
 * @param amount – 0 … 1: share of the way from the lightness it has to the evened-out one.
 */
export function evenLightness(raster: Raster, amount: number): void {
  if (amount <= 0) return;
  const { widthPx, heightPx, rgba } = raster;
  const before = lightnessPlane(raster);
  const after = evenContrast({ widthPx, heightPx, data: before }, LOCAL_CONTRAST);
  const { times, plus } = stepTables(amount);
  for (let i = 0, at = 0; i < before.length; i++, at += 4) {
    const step = (before[i]! << 8) | after[i]!;
    const k = times[step]!;
    const p = plus[step]!;
    const red = (rgba[at]! * k + p) | 0;
    const green = (rgba[at + 1]! * k + p) | 0;
    const blue = (rgba[at + 2]! * k + p) | 0;
    rgba[at] = red > 255 ? 255 : red;
    rgba[at + 1] = green > 255 ? 255 : green;
    rgba[at + 2] = blue > 255 ? 255 : blue;
  }
}

/** Stored value of grey of lightness in 256 steps. */
const STORED_OF_LIGHTNESS = Float64Array.from({ length: 257 }, (_, i) => 255 * storedOf(lightOfLightness(i / 255)));

/** The same between the steps, where the curve is all but straight. */
function storedBetween(lightness: number): number {
  const below = Math.floor(lightness);
  const a = STORED_OF_LIGHTNESS[below]!;
  return a + (STORED_OF_LIGHTNESS[below + 1]! - a) * (lightness - below);
}

/** What stored values are multiplied by, and what is added, for every step from a lightness (high byte) to another. */
function stepTables(amount: number) {
  const times = new Float32Array(65_536);
  const plus = new Float32Array(65_536);
  for (let from = 0; from < 256; from++) {
    const have = STORED_OF_LIGHTNESS[from]!;
    for (let to = 0; to < 256; to++) {
      const wanted = from === to ? have : storedBetween(from + amount * (to - from));
      const ratio = from === to || have === 0 ? 1 : Math.min(MOST_RATIO, wanted / have);
      times[(from << 8) | to] = ratio;
      // The half rounds; the rest is lightness that the bounded ratio leaves out, as grey.
      plus[(from << 8) | to] = 0.5 + Math.max(0, wanted - ratio * have);
    }
  }
  return { times, plus };
}
