import type { RgbGains, ViewSettings } from "../view-settings.ts";
import { LIGHT_OF_BYTE, LIGHT_STEPS, STORED_OF_LIGHT, storedOf } from "./srgb.ts";

/** Steepness in the middle at full contrast; its inverse at the least. Common practice, no source. */
const FULL_CONTRAST = 3;

/**
 * More contrast is an S through black, mid-grey and white; less contrast draws all values evenly toward mid-grey.
 *
 * @param v – stored value over its largest, 0–1.
 * @param contrast – −1 … 1; 0 leaves v as it is.
 * @returns 0–1, never falling as v rises.
 */
export function contrasted(v: number, contrast: number): number {
  const steepness = FULL_CONTRAST ** contrast;
  if (contrast <= 0) return 0.5 + (v - 0.5) * steepness;
  return v <= 0.5 ? 0.5 * (2 * v) ** steepness : 1 - 0.5 * (2 - 2 * v) ** steepness;
}

type Tone = Pick<ViewSettings, "exposureEv" | "contrast">;

const byteOf = (light: number, contrast: number): number =>
  Math.round(255 * contrasted(storedOf(Math.min(1, light)), contrast));

/** Shown value of every stored value: one table for red, green and blue. */
export function toneTables(
  { exposureEv, contrast }: Tone,
  gains: RgbGains,
): readonly [Uint8Array, Uint8Array, Uint8Array] {
  const table = (gain: number): Uint8Array =>
    Uint8Array.from(LIGHT_OF_BYTE, (light) => byteOf(light * gain * 2 ** exposureEv, contrast));
  return [table(gains[0]), table(gains[1]), table(gains[2])];
}

/** Shown value of linear light in `LIGHT_STEPS` steps, for light that is no longer one of 256 values. */
export function lightTable(contrast: number): Uint8Array {
  if (contrast === 0) return STORED_OF_LIGHT;
  return Uint8Array.from({ length: LIGHT_STEPS + 1 }, (_, i) => byteOf(i / LIGHT_STEPS, contrast));
}
