import type { LightSetup } from "../light.ts";
import type { Draw } from "./draw.ts";

type Lamp = LightSetup["lamps"][number];

const lamp = (azimuthDeg: number, elevationDeg: number, widthDeg: number, power: number, warmth = 0): Lamp => ({
  azimuthDeg,
  elevationDeg,
  widthDeg,
  power,
  warmth,
});

const low = (d: Draw, around: number, power: number): Lamp =>
  lamp(around + d.between(-15, 15), d.between(9, 14), d.between(16, 24), power);

/** Ways a bench is lit; each draws its own angles, sizes and powers. */
export const LIGHT_FAMILIES = {
  ring: (d) => {
    const at = d.between(0, 360);
    return {
      ring: { elevationDeg: d.between(56, 68), widthDeg: d.between(11, 20), power: d.between(0.5, 0.78) },
      lamps: [
        lamp(at, d.between(30, 45), 14, d.between(0.2, 0.5), d.between(-0.4, 0.6)),
        low(d, at + 30, 0.5),
        low(d, at - 110, 0.34),
        low(d, at + 150, 0.34),
      ],
      dome: d.between(0.26, 0.42),
      horizon: d.between(0.07, 0.14),
    };
  },
  raking: (d) => ({
    ring: { elevationDeg: d.between(55, 66), widthDeg: 18, power: d.between(0.12, 0.3) },
    lamps: [lamp(d.between(0, 360), d.between(15, 28), d.between(9, 16), d.between(0.95, 1.4), d.between(-0.3, 0.9))],
    dome: d.between(0.16, 0.3),
    horizon: d.between(0.05, 0.1),
  }),
  "ring-and-lamp": (d) => ({
    ring: { elevationDeg: d.between(52, 66), widthDeg: 15, power: d.between(0.3, 0.5) },
    lamps: [
      lamp(d.between(0, 360), d.between(30, 52), d.between(10, 18), d.between(0.5, 0.95), d.between(-0.6, 0.8)),
      low(d, d.between(0, 360), 0.3),
    ],
    dome: d.between(0.2, 0.34),
    horizon: d.between(0.06, 0.12),
  }),
  "two-necks": (d) => {
    const at = d.between(0, 360);
    return {
      ring: { elevationDeg: 62, widthDeg: 14, power: d.between(0.02, 0.12) },
      lamps: [
        lamp(at, d.between(28, 48), d.between(8, 14), d.between(0.7, 1.1), 0.7),
        lamp(at + d.between(120, 200), d.between(28, 48), d.between(8, 14), d.between(0.4, 0.9), 0.7),
      ],
      dome: d.between(0.16, 0.28),
      horizon: d.between(0.05, 0.1),
    };
  },
  dome: (d) => ({
    ring: { elevationDeg: 60, widthDeg: 24, power: d.between(0.1, 0.25) },
    lamps: [low(d, 0, 0.3), low(d, 120, 0.3), low(d, 240, 0.3)],
    dome: d.between(0.6, 0.9),
    horizon: d.between(0.2, 0.34),
  }),
  "soft-box": (d) => {
    const at = d.between(0, 360);
    return {
      ring: { elevationDeg: 66, widthDeg: 9, power: d.between(0.08, 0.2) },
      lamps: [
        lamp(at, d.between(42, 58), d.between(20, 30), d.between(0.8, 1.3), d.between(-0.5, 0.4)),
        lamp(at + 175, d.between(28, 38), 16, d.between(0.2, 0.4), -0.5),
        low(d, at + 90, 0.26),
        low(d, at - 90, 0.26),
      ],
      dome: d.between(0.16, 0.28),
      horizon: d.between(0.08, 0.13),
    };
  },
  coaxial: (d) => ({
    ring: { elevationDeg: d.between(80, 86), widthDeg: d.between(8, 12), power: d.between(0.6, 0.9) },
    lamps: [low(d, d.between(0, 360), 0.4), low(d, d.between(0, 360), 0.3)],
    dome: d.between(0.24, 0.36),
    horizon: d.between(0.08, 0.14),
  }),
  "low-ring": (d) => ({
    ring: { elevationDeg: d.between(20, 32), widthDeg: d.between(12, 20), power: d.between(0.9, 1.3) },
    lamps: [lamp(d.between(0, 360), 55, 20, d.between(0.1, 0.3))],
    dome: d.between(0.18, 0.3),
    horizon: d.between(0.1, 0.18),
  }),
  window: (d) => {
    const at = d.between(0, 360);
    return {
      ring: { elevationDeg: 62, widthDeg: 12, power: d.between(0.04, 0.12) },
      lamps: [
        lamp(at, d.between(35, 50), d.between(34, 46), d.between(0.7, 1.1), -0.9),
        lamp(at + d.between(100, 160), d.between(40, 60), 8, d.between(0.3, 0.6), 1),
      ],
      dome: d.between(0.24, 0.4),
      horizon: d.between(0.1, 0.18),
    };
  },
  "three-lamps": (d) => {
    const at = d.between(0, 120);
    return {
      ring: { elevationDeg: 60, widthDeg: 10, power: 0.02 },
      lamps: [0, 120, 240].map((step) =>
        lamp(at + step, d.between(34, 50), d.between(7, 11), d.between(0.45, 0.8), d.between(-0.2, 0.5)),
      ),
      dome: d.between(0.18, 0.3),
      horizon: d.between(0.06, 0.12),
    };
  },
  tube: (d) => {
    const at = d.between(0, 360);
    return {
      ring: { elevationDeg: 64, widthDeg: 10, power: d.between(0.02, 0.1) },
      lamps: [-36, -12, 12, 36].map((step) => lamp(at + step, d.between(44, 50), 13, d.between(0.26, 0.4), -0.3)),
      dome: d.between(0.2, 0.36),
      horizon: d.between(0.08, 0.16),
    };
  },
  opposed: (d) => {
    const at = d.between(0, 360);
    return {
      ring: { elevationDeg: 58, widthDeg: 16, power: d.between(0.08, 0.2) },
      lamps: [
        lamp(at, d.between(16, 26), d.between(10, 18), d.between(0.6, 0.9), 0.2),
        lamp(at + 180, d.between(16, 26), d.between(10, 18), d.between(0.6, 0.9), 0.2),
      ],
      dome: d.between(0.2, 0.32),
      horizon: d.between(0.06, 0.12),
    };
  },
} as const satisfies Readonly<Record<string, (d: Draw) => LightSetup>>;

export type LightFamily = keyof typeof LIGHT_FAMILIES;
