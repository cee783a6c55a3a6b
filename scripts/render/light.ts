/** Lights of the stereo microscope, in the frame of the view: x right, y up, z toward the lens. */
export interface LightSetup {
  /** Ring round the lens. */
  readonly ring: { readonly elevationDeg: number; readonly widthDeg: number; readonly power: number };
  /** Lamps or soft boxes from one side; azimuth 0 = right, counter-clockwise. */
  readonly lamps: readonly {
    readonly azimuthDeg: number;
    readonly elevationDeg: number;
    readonly widthDeg: number;
    readonly power: number;
    /** Above 0 warmer, below 0 cooler. */
    readonly warmth: number;
  }[];
  /** Even light from the room. */
  readonly dome: number;
  /** What the metal mirrors at grazing angles: the card or bench round it. */
  readonly horizon: number;
}

interface Lamp {
  readonly x: number;
  readonly y: number;
  readonly z: number;
  readonly width: number;
  readonly power: number;
  readonly red: number;
  readonly blue: number;
}

export interface Lights {
  readonly setup: LightSetup;
  readonly ringAngle: number;
  readonly ringWidth: number;
  readonly lamps: readonly Lamp[];
}

const RAD = Math.PI / 180;

export function prepareLights(setup: LightSetup): Lights {
  return {
    setup,
    ringAngle: (90 - setup.ring.elevationDeg) * RAD,
    ringWidth: setup.ring.widthDeg * RAD,
    lamps: setup.lamps.map((l) => ({
      x: Math.cos(l.azimuthDeg * RAD) * Math.cos(l.elevationDeg * RAD),
      y: Math.sin(l.azimuthDeg * RAD) * Math.cos(l.elevationDeg * RAD),
      z: Math.sin(l.elevationDeg * RAD),
      width: l.widthDeg * RAD,
      power: l.power,
      red: 1 + 0.1 * l.warmth,
      blue: 1 - 0.14 * l.warmth,
    })),
  };
}

/** How much of each light reaches a place, 0–1. */
export interface Reach {
  dome: number;
  ring: number;
  readonly lamps: number[];
}

/**
 * Light from one place of metal to the lens.
 * The lamps are blurred by the roughness (a lobe round the mirror direction whose peak falls as it widens) and a part
 * of the light of rough metal is scattered evenly, because torn metal reflects more than once before light leaves it.
 *
 * @param nx, ny, nz – unit normal in the view frame.
 * @param out – linear RGB, overwritten.
 */
export function shade(
  lights: Lights,
  nx: number,
  ny: number,
  nz: number,
  r: number,
  g: number,
  b: number,
  rough: number,
  reach: Reach,
  out: Float64Array,
): void {
  const { setup } = lights;
  const facing = nz < 0.02 ? 0.02 : nz;
  const rx = 2 * facing * nx;
  const ry = 2 * facing * ny;
  const rz = 2 * facing * nz - 1;
  const spread = 1.15 * rough;
  const scatter = 0.03 + 0.68 * rough * rough;
  let red = 0;
  let green = 0;
  let blue = 0;

  // Ring: a band at a fixed angle from the lens axis.
  const angle = Math.acos(rz > 1 ? 1 : rz < -1 ? -1 : rz);
  const rw = Math.sqrt(lights.ringWidth * lights.ringWidth + spread * spread);
  const off = (angle - lights.ringAngle) / rw;
  const ringSpecular = (lights.ringWidth / rw) * Math.exp(-(off * off)) * 1.6;
  const ringEven = scatter * facing * Math.cos(lights.ringAngle);
  const ring = setup.ring.power * reach.ring * (ringSpecular + ringEven);
  red += ring;
  green += ring;
  blue += ring;

  for (let i = 0; i < lights.lamps.length; i++) {
    const l = lights.lamps[i]!;
    const cos = rx * l.x + ry * l.y + rz * l.z;
    const w2 = l.width * l.width + spread * spread;
    const specular = ((l.width * l.width + 0.02) / (w2 + 0.02)) * Math.exp((2 * (cos - 1)) / w2) * 2.6;
    const dot = nx * l.x + ny * l.y + facing * l.z;
    const even = dot > 0 ? 2.1 * scatter * dot : 0;
    const power = l.power * reach.lamps[i]! * (specular + even);
    red += power * l.red;
    green += power;
    blue += power * l.blue;
  }

  // The room: bright overhead except for the dark front lens, dimmer to the horizon.
  const up = rz > 0 ? rz : 0;
  const glare = angle / 0.35;
  const lens = 1 - 0.45 * Math.exp(-(glare * glare)) * (0.12 / (0.12 + rough * rough));
  const room = setup.dome * reach.dome * (0.35 + 0.65 * up) * lens + setup.horizon * (1 - up) * reach.dome;
  red += room;
  green += room;
  blue += room;

  // In hollows the light has met the metal more than once and takes more of its colour.
  const deep = 1 - reach.dome;
  const away = 1 - facing;
  const edge = away * away * away * away * away;
  out[0] = red * (r + (1 - r) * edge * 0.5) * (1 - deep * 0.5 * (1 - r));
  out[1] = green * (g + (1 - g) * edge * 0.5) * (1 - deep * 0.5 * (1 - g));
  out[2] = blue * (b + (1 - b) * edge * 0.5) * (1 - deep * 0.5 * (1 - b));
}
