import type { Raster } from "../pixels/grey.ts";
import type { RgbGains } from "../view-settings.ts";
import type { FlatField } from "./flat-field.ts";
import { cellPlaces, rowGains } from "./flat-field.ts";
import { SeeingError } from "./seeing-error.ts";
import { LIGHT_OF_BYTE, LIGHT_WEIGHTS } from "./srgb.ts";

/** When a patch can be trusted to show the colour of the light. Common practice, no source. */
export const PATCH_LIMITS = {
  /** Stored value from which a channel counts as clipped. */
  clippedFrom: 254,
  clippedShare: 0.02,
  /** Mean linear light of the weakest channel; stored values near 16. */
  leastLight: 0.005,
  /** Largest gain of a channel, and its inverse the smallest. */
  mostGain: 4,
} as const;

/** A patch on a photograph: middle and radius, px from its upper left corner. */
export interface Patch {
  readonly x: number;
  readonly y: number;
  readonly radiusPx: number;
}

/** The pixels around a patch, cut out of a photograph. */
export interface PatchSurroundings {
  /** The cut-out, from (left, top) of the photograph on. */
  readonly raster: Raster;
  readonly left: number;
  readonly top: number;
  /** Size of the photograph. */
  readonly widthPx: number;
  readonly heightPx: number;
}

/** Rectangle of whole pixels that holds a patch, cut to the photograph; null when it lies outside. */
export function patchBox({ x, y, radiusPx }: Patch, widthPx: number, heightPx: number) {
  const left = Math.max(0, Math.floor(x - radiusPx));
  const top = Math.max(0, Math.floor(y - radiusPx));
  const right = Math.min(widthPx, Math.ceil(x + radiusPx));
  const bottom = Math.min(heightPx, Math.ceil(y + radiusPx));
  return right > left && bottom > top ? { left, top, widthPx: right - left, heightPx: bottom - top } : null;
}

/**
 * What red, green and blue light must be multiplied by so that a patch known to be grey becomes grey. Its lightness
 * stays. Read after the flat field, before exposure.
 *
 * @throws SeeingError patch-outside, patch-clipped, patch-dark, patch-coloured.
 */
export function neutralGains(around: PatchSurroundings, patch: Patch, field: FlatField | null): RgbGains {
  const { raster, left, top, widthPx, heightPx } = around;
  const sums: [number, number, number] = [0, 0, 0];
  let count = 0;
  let clipped = 0;
  const across = field ? cellPlaces(widthPx, field.columns) : null;
  const down = field ? cellPlaces(heightPx, field.rows) : null;
  const row = new Float32Array((field?.columns ?? 0) * 3);
  for (let j = 0; j < raster.heightPx; j++) {
    const y = top + j;
    if (field && down) rowGains(field, { first: down.first[y]!, next: down.next[y]!, share: down.share[y]! }, row);
    for (let i = 0; i < raster.widthPx; i++) {
      const x = left + i;
      if ((x + 0.5 - patch.x) ** 2 + (y + 0.5 - patch.y) ** 2 > patch.radiusPx ** 2) continue;
      const at = (j * raster.widthPx + i) * 4;
      count++;
      let whole = true;
      for (let c = 0; c < 3; c++) {
        const value = raster.rgba[at + c]!;
        if (value >= PATCH_LIMITS.clippedFrom) whole = false;
        const a = across ? row[across.first[x]! * 3 + c]! : 1;
        const b = across ? row[across.next[x]! * 3 + c]! : 1;
        sums[c]! += LIGHT_OF_BYTE[value]! * (across ? a + (b - a) * across.share[x]! : 1);
      }
      if (!whole) clipped++;
    }
  }
  if (count === 0) throw new SeeingError("patch-outside", "The grey patch does not lie on the photograph.");
  if (clipped / count > PATCH_LIMITS.clippedShare)
    throw new SeeingError("patch-clipped", "The grey patch is overexposed, so its colour cannot be read.");
  const [red, green, blue] = sums.map((sum) => sum / count) as [number, number, number];
  if (Math.min(red, green, blue) < PATCH_LIMITS.leastLight)
    throw new SeeingError("patch-dark", "The grey patch is too dark for its colour to be read.");
  const lightness = LIGHT_WEIGHTS[0] * red + LIGHT_WEIGHTS[1] * green + LIGHT_WEIGHTS[2] * blue;
  const gains = [lightness / red, lightness / green, lightness / blue] as const;
  if (gains.some((gain) => gain > PATCH_LIMITS.mostGain || gain < 1 / PATCH_LIMITS.mostGain))
    throw new SeeingError("patch-coloured", "The patch is strongly coloured, so it cannot be something grey.");
  return gains;
}
