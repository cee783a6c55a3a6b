/** What a camera lets itself be set to, as its track states it. */
export type CameraControl =
  | {
      readonly kind: "range";
      readonly name: string;
      readonly label: string;
      readonly min: number;
      readonly max: number;
      readonly step: number;
      readonly value: number;
    }
  | {
      readonly kind: "choice";
      readonly name: string;
      readonly label: string;
      readonly choices: readonly string[];
      readonly value: string;
    };

/** Names as the W3C image-capture draft has them, in the order a person sets them. @source W3C, MediaStream Image Capture (working draft) */
const CHOICES: Readonly<Record<string, string>> = {
  exposureMode: "Exposure",
  whiteBalanceMode: "White balance",
  focusMode: "Focus",
};
const RANGES: Readonly<Record<string, string>> = {
  exposureTime: "Exposure time, 0.1 ms",
  exposureCompensation: "Exposure correction, EV",
  iso: "Gain, ISO",
  colorTemperature: "Colour temperature, K",
  focusDistance: "Focus distance, m",
  zoom: "Digital zoom",
  brightness: "Brightness",
  contrast: "Contrast",
  saturation: "Saturation",
  sharpness: "Sharpening",
};
/** A setting that only holds while its mode is "manual". */
const MODE_OF: Readonly<Record<string, string>> = {
  exposureTime: "exposureMode",
  iso: "exposureMode",
  colorTemperature: "whiteBalanceMode",
  focusDistance: "focusMode",
};
export const CHOICE_WORDS: Readonly<Record<string, string>> = {
  manual: "by hand",
  continuous: "automatic",
  "single-shot": "once",
  none: "fixed",
};

type Stated = Readonly<Record<string, unknown>>;
const isRange = (v: unknown): v is { min: number; max: number; step?: number } =>
  typeof v === "object" && v !== null && "min" in v && "max" in v && Number(v.max) > Number(v.min);

/** The controls of a track; empty when it offers none. */
export function controlsOf(track: MediaStreamTrack): readonly CameraControl[] {
  const offered = (typeof track.getCapabilities === "function" ? track.getCapabilities() : {}) as Stated;
  const set = track.getSettings() as Stated;
  const choices = Object.entries(CHOICES).flatMap(([name, label]): CameraControl[] => {
    const list = offered[name];
    if (!Array.isArray(list) || list.length < 2) return [];
    return [{ kind: "choice", name, label, choices: list.map(String), value: String(set[name]) }];
  });
  const ranges = Object.entries(RANGES).flatMap(([name, label]): CameraControl[] => {
    const range = offered[name];
    const value = set[name];
    if (!isRange(range) || typeof value !== "number") return [];
    const step = range.step !== undefined && range.step > 0 ? range.step : (range.max - range.min) / 100;
    return [{ kind: "range", name, label, min: range.min, max: range.max, step, value }];
  });
  return [...choices, ...ranges];
}

/** Sets a control; one that needs its mode set by hand gets it in the same breath. @throws what the camera says. */
export async function setControl(track: MediaStreamTrack, name: string, value: number | string): Promise<void> {
  const mode = MODE_OF[name];
  const offered: Stated = track.getCapabilities() as Stated;
  const modes = mode === undefined ? [] : offered[mode];
  const byHand = mode !== undefined && Array.isArray(modes) && modes.includes("manual") ? { [mode]: "manual" } : {};
  await track.applyConstraints({ advanced: [{ ...byHand, [name]: value }] });
}
