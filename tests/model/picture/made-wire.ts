import type { Raster } from "../../../model/picture/pixels/grey.ts";

/** A wire drawn by formula: what stands where is known exactly. Lengths in wire diameters unless said otherwise. */
export interface MadeWire {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly diameterPx: number;
  /** Direction toward the break, degrees from +x toward +y. */
  readonly deg: number;
  /** Where the break plane crosses the axis, px. */
  readonly breakAt: readonly [number, number];
  /** Diameter left at the break. */
  readonly neck: number;
  /**
   * What stands beyond: nothing (square), a plane at this angle to the axis, or a cone of this flank angle. A nose is the
   * wire itself, rounded off over 1.5 diameters like a bullet.
   */
  readonly face: { readonly kind: "square" | "nose" } | { readonly kind: "slant" | "cone"; readonly deg: number };
  /** Brightness of the card, 0–255, and of the metal. */
  readonly card: number;
  /** Colour of the card, each a factor of its brightness; left out: grey. */
  readonly tint?: readonly [number, number, number];
  /** How strongly the card is brushed, a share of its brightness; the lines run down the picture. */
  readonly brushed?: number;
  /** How sharp the shadow's edge is, px; left out: a tenth of the wire. */
  readonly shadowPx?: number;
  readonly metal: readonly [number, number, number];
}

/** Repeatable noise, standard deviation about 1. */
export function noiseAt(x: number, y: number): number {
  let h = Math.imul(x, 374761393) ^ Math.imul(y, 668265263);
  h = Math.imul(h ^ (h >>> 13), 1274126177);
  h ^= h >>> 16;
  return (((h & 255) + ((h >>> 8) & 255) + ((h >>> 16) & 255)) / 255 - 1.5) * 2;
}

export function raster(widthPx: number, heightPx: number, colour: (x: number, y: number) => readonly number[]): Raster {
  const rgba = new Uint8ClampedArray(4 * widthPx * heightPx);
  for (let y = 0; y < heightPx; y++)
    for (let x = 0; x < widthPx; x++) {
      const at = 4 * (y * widthPx + x);
      const [r = 0, g = 0, b = 0] = colour(x, y);
      rgba[at] = r;
      rgba[at + 1] = g;
      rgba[at + 2] = b;
      rgba[at + 3] = 255;
    }
  return { widthPx, heightPx, rgba };
}

/** Photograph of a made wire: shaded metal with draw lines, a soft shadow beside it, noise of the camera. */
export function photograph(wire: MadeWire): Raster {
  const { widthPx, heightPx, diameterPx: d, breakAt, face, neck, card, metal } = wire;
  const { tint = [1, 1, 1], brushed = 0, shadowPx = 0.1 * d } = wire;
  const [c, s] = [Math.cos((wire.deg * Math.PI) / 180), Math.sin((wire.deg * Math.PI) / 180)];
  const cot = "deg" in face ? 1 / Math.tan((face.deg * Math.PI) / 180) : 0;
  /** How deep a place lies in the wire, px; negative outside. */
  const depth = (u: number, w: number): number => {
    const nose =
      face.kind === "nose" ? Math.sqrt(Math.max(0, 1 - Math.max(0, Math.min(1, 1 + u / (1.5 * d))) ** 2)) : 1;
    const half = nose * (d / 2) * (1 - (1 - neck) * Math.exp(-((Math.max(0, -u) / (0.6 * d)) ** 2)));
    const front = face.kind === "slant" ? w * cot : face.kind === "cone" ? (0.4 * d - Math.abs(w)) * cot : 0;
    return Math.min(half - Math.abs(w), (Math.max(face.kind === "slant" ? -d : 0, front) - u) * 0.7);
  };
  return raster(widthPx, heightPx, (x, y) => {
    const [dx, dy] = [x + 0.5 - breakAt[0], y + 0.5 - breakAt[1]];
    const [u, w] = [c * dx + s * dy, c * dy - s * dx];
    const cover = Math.max(0, Math.min(1, depth(u, w) / 1.6 + 0.5));
    const shadow = 1 - 0.4 / (1 + Math.exp(-depth(u - 0.1 * d, w - 0.18 * d) / shadowPx));
    const ground = card * shadow * (1 + brushed * noiseAt(x, y >> 5));
    const around = Math.min(1, Math.abs(w) / (d / 2));
    const line = 0.05 * Math.sin(w * 0.9) + 0.04 * Math.sin(w * 0.37 + 1);
    const shade = 1 - 0.3 * around * around + (u > 0 ? 0.06 * noiseAt(x >> 1, y >> 1) : line);
    const grain = 1.2 * noiseAt(x, y);
    return metal.map((m, k) => m * shade * cover + ground * tint[k]! * (1 - cover) + grain);
  });
}

/** A quarter turn to the right. */
export function quarterTurn({ widthPx, heightPx, rgba }: Raster): Raster {
  return raster(heightPx, widthPx, (x, y) => [...rgba.subarray(4 * ((heightPx - 1 - x) * widthPx + y)).subarray(0, 3)]);
}

/** Left and right swapped. */
export function mirrored({ widthPx, heightPx, rgba }: Raster): Raster {
  return raster(widthPx, heightPx, (x, y) => [...rgba.subarray(4 * (y * widthPx + widthPx - 1 - x)).subarray(0, 3)]);
}
