import type { Raster } from "../pixels/grey.ts";
import type { RgbGains, ViewSettings } from "../view-settings.ts";
import type { FlatField } from "./flat-field.ts";
import { cellPlaces, rowGains } from "./flat-field.ts";
import { evenLightness } from "./lightness-contrast.ts";
import { LIGHT_OF_BYTE, LIGHT_STEPS } from "./srgb.ts";
import { lightTable, toneTables } from "./tone.ts";

/** What the settings name, read already: the flat field of the blank frame, the gains of the grey patch. */
export interface SeeingAids {
  readonly field: FlatField | null;
  readonly gains: RgbGains | null;
}

const ALIKE: RgbGains = [1, 1, 1];

/**
 * A photograph as its view settings show it. In this order: linear light × flat field × neutral gains × exposure,
 * back to sRGB values, contrast, and last local contrast on lightness. Without a flat field everything but local
 * contrast is one table per channel.
 *
 * @returns new pixels; the photograph stays as it is. Cover (the fourth value) is kept.
 */
export function see(photograph: Raster, settings: ViewSettings, aids: SeeingAids): Raster {
  const { widthPx, heightPx, rgba } = photograph;
  const shown = { widthPx, heightPx, rgba: rgba.slice() };
  seeInPlace(shown, settings, aids);
  return shown;
}

/** The same, overwriting the pixels: for a copy that nobody else holds. */
export function seeInPlace(raster: Raster, settings: ViewSettings, { field, gains }: SeeingAids): void {
  if (field !== null) throughField(raster, settings, gains ?? ALIKE, field);
  else if (gains !== null || settings.exposureEv !== 0 || settings.contrast !== 0)
    throughTables(raster, settings, gains ?? ALIKE);
  evenLightness(raster, settings.localContrast);
}

function throughTables({ rgba }: Raster, settings: ViewSettings, gains: RgbGains): void {
  const [red, green, blue] = toneTables(settings, gains);
  for (let at = 0; at < rgba.length; at += 4) {
    rgba[at] = red[rgba[at]!]!;
    rgba[at + 1] = green[rgba[at + 1]!]!;
    rgba[at + 2] = blue[rgba[at + 2]!]!;
  }
}

function throughField(
  { widthPx, heightPx, rgba }: Raster,
  { exposureEv, contrast }: ViewSettings,
  gains: RgbGains,
  field: FlatField,
): void {
  const shown = lightTable(contrast);
  const light = gains.map((gain) => LIGHT_OF_BYTE.map((l) => l * gain * 2 ** exposureEv * LIGHT_STEPS));
  const [red, green, blue] = light as [Float64Array, Float64Array, Float64Array];
  const across = cellPlaces(widthPx, field.columns);
  const down = cellPlaces(heightPx, field.rows);
  const row = new Float32Array(field.columns * 3);
  for (let y = 0, at = 0; y < heightPx; y++) {
    rowGains(field, { first: down.first[y]!, next: down.next[y]!, share: down.share[y]! }, row);
    for (let x = 0; x < widthPx; x++, at += 4) {
      const a = across.first[x]! * 3;
      const b = across.next[x]! * 3;
      const share = across.share[x]!;
      const r = row[a]! + (row[b]! - row[a]!) * share;
      const g = row[a + 1]! + (row[b + 1]! - row[a + 1]!) * share;
      const u = row[a + 2]! + (row[b + 2]! - row[a + 2]!) * share;
      rgba[at] = shown[Math.min(LIGHT_STEPS, red[rgba[at]!]! * r + 0.5) | 0]!;
      rgba[at + 1] = shown[Math.min(LIGHT_STEPS, green[rgba[at + 1]!]! * g + 0.5) | 0]!;
      rgba[at + 2] = shown[Math.min(LIGHT_STEPS, blue[rgba[at + 2]!]! * u + 0.5) | 0]!;
    }
  }
}
