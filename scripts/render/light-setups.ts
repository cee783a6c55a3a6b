import type { LightSetup } from "./light.ts";

/** Ring and dome: even, shows colour and the whole rim. */
export const RING: LightSetup = {
  ring: { elevationDeg: 62, widthDeg: 16, power: 0.62 },
  lamps: [
    { azimuthDeg: 128, elevationDeg: 38, widthDeg: 14, power: 0.5, warmth: 0.5 },
    { azimuthDeg: 160, elevationDeg: 11, widthDeg: 20, power: 0.55, warmth: 0 },
    { azimuthDeg: 20, elevationDeg: 11, widthDeg: 20, power: 0.34, warmth: 0 },
    { azimuthDeg: 275, elevationDeg: 11, widthDeg: 20, power: 0.34, warmth: 0 },
  ],
  dome: 0.34,
  horizon: 0.1,
};

/** Low-angle lamp from one side over a weak ring: shows relief. */
export const RAKING: LightSetup = {
  ring: { elevationDeg: 60, widthDeg: 18, power: 0.24 },
  lamps: [{ azimuthDeg: 142, elevationDeg: 22, widthDeg: 12, power: 1.15, warmth: 0.6 }],
  dome: 0.24,
  horizon: 0.08,
};

/** Side views: a long soft box above, a weaker one below, the card mirrored at the edges. */
export const SIDE: LightSetup = {
  ring: { elevationDeg: 66, widthDeg: 9, power: 0.16 },
  lamps: [
    { azimuthDeg: 98, elevationDeg: 48, widthDeg: 11, power: 1.25, warmth: 0.3 },
    { azimuthDeg: 262, elevationDeg: 34, widthDeg: 14, power: 0.3, warmth: -0.6 },
    { azimuthDeg: 20, elevationDeg: 28, widthDeg: 24, power: 0.26, warmth: 0 },
    { azimuthDeg: 160, elevationDeg: 28, widthDeg: 24, power: 0.26, warmth: 0 },
  ],
  dome: 0.2,
  horizon: 0.1,
};
/** The same light turned by some degrees and scaled: no two set-ups of a lab are alike. */
export function turned(setup: LightSetup, byDeg: number, gain = 1): LightSetup {
  return {
    ...setup,
    ring: { ...setup.ring, power: setup.ring.power * gain },
    lamps: setup.lamps.map((l) => ({ ...l, azimuthDeg: l.azimuthDeg + byDeg, power: l.power * gain })),
  };
}
