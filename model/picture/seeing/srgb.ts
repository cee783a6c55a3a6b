/**
 * Light of an sRGB value: the curve of the standard taken back.
 *
 * @param v – stored value over its largest, 0–1.
 * @returns linear light, 0–1.
 * @source IEC 61966-2-1:1999, 5.2
 */
export const lightOf = (v: number): number => (v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4);

/**
 * sRGB value of linear light.
 *
 * @param light – 0–1.
 * @source IEC 61966-2-1:1999, 5.2
 */
export const storedOf = (light: number): number =>
  light <= 0.0031308 ? 12.92 * light : 1.055 * light ** (1 / 2.4) - 0.055;

/** Linear light of the 256 stored values. */
export const LIGHT_OF_BYTE: Float64Array = Float64Array.from({ length: 256 }, (_, i) => lightOf(i / 255));

/** Steps in which linear light is looked up: a fifth of a stored value at most, and small enough to stay at hand. */
export const LIGHT_STEPS = 16_383;

/** Stored value (0–255) of light in `LIGHT_STEPS` steps. */
export const STORED_OF_LIGHT: Uint8Array = Uint8Array.from({ length: LIGHT_STEPS + 1 }, (_, i) =>
  Math.round(255 * storedOf(i / LIGHT_STEPS)),
);

/** Weights of red, green and blue light in lightness. @source ITU-R BT.709-6, 3.2 (shared by sRGB) */
export const LIGHT_WEIGHTS = [0.2126, 0.7152, 0.0722] as const;
