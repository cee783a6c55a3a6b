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
    // From the middle of one cell to that of the next the gains rise and fall along straight lines.
    for (let x = 0; x < widthPx;) {
      const a = across.first[x]! * 3;
      const b = across.next[x]! * 3;
      const r = row[a]!;
      const g = row[a + 1]!;
      const u = row[a + 2]!;
      const dr = row[b]! - r;
      const dg = row[b + 1]! - g;
      const du = row[b + 2]! - u;
      for (const end = across.end[x]!; x < end; x++, at += 4) {
        const share = across.share[x]!;
        const i = (red[rgba[at]!]! * (r + dr * share) + 0.5) | 0;
        const j = (green[rgba[at + 1]!]! * (g + dg * share) + 0.5) | 0;
        const k = (blue[rgba[at + 2]!]! * (u + du * share) + 0.5) | 0;
        rgba[at] = shown[i > LIGHT_STEPS ? LIGHT_STEPS : i]!;
        rgba[at + 1] = shown[j > LIGHT_STEPS ? LIGHT_STEPS : j]!;
        rgba[at + 2] = shown[k > LIGHT_STEPS ? LIGHT_STEPS : k]!;
      }
    }
  }
}
