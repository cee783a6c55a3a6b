import { fbm, lengthOf, mix, noise, ramp } from "../noise.ts";
import type { Face } from "./face.ts";
import { look } from "./face.ts";
import { fibrous, radialRidges } from "./textures.ts";

export interface SlantFace {
  readonly seed: number;
  /** Where the break starts at the rim, radians. */
  readonly from: number;
  /** Angle of the plane to the wire axis, degrees (90 = square). */
  readonly planeDeg: number;
  /** Which way it runs from the start: +1 downstream. */
  readonly runs: 1 | -1;
  /** Depth of an old, dark flaw at the start, rim radii (0 = none). */
  readonly flaw: number;
  /** Silky and striated (1) or dimpled (0). */
  readonly silk: number;
  /** A flat zone right at the start (from a nick), rim radii. */
  readonly flat: number;
  /** Size of bowls, wire radii. */
  readonly bowl: number;
}

/** A break that runs across the wire from one place of the skin: seam, nick, or one plane of shear. */
export function slantFace(p: SlantFace): Face {
  const slope = 1 / Math.tan((p.planeDeg * Math.PI) / 180);
  const cos = Math.cos(p.from);
  const sin = Math.sin(p.from);
  return (y, z, u, v, k, out) => {
    const along = 1 - (u * cos + v * sin);
    const across = -u * sin + v * cos;
    const rho = lengthOf(u, v);
    const run = Math.max(0, along - p.flat);
    const curve = 0.1 * across * across - 0.05;
    const plane = p.runs * slope * (run - (2 - p.flat) / 2) + curve;
    const stri =
      0.009 * noise(across * 13, along * 1.3, p.seed + 91) +
      0.006 * noise(across * 40, along * 2.2, p.seed + 92) +
      0.004 * noise(across * 110, along * 4, p.seed + 93) +
      0.003 * fbm(u * 26, v * 26, p.seed + 98, 2);
    // Lips of the last ligament, opposite the start.
    const last = ramp(1.62, 1.85, along + 0.08 * noise(across * 3, 1, p.seed + 94)) * (1 - 0.5 * p.silk);
    const rim = ramp(0.86, 0.97, rho) * (1 - ramp(0.3, 0.1, along));
    const fan = 0.02 * radialRidges(Math.atan2(across, along + 0.1) * 3, along, 29, 1.1, p.seed + 95) * (1 - p.silk);
    const soft = fibrous(y, z, p.bowl, p.seed) * mix(1, 0.2, p.silk);
    out.h =
      k *
        (plane +
          stri * mix(0.35, 1, p.silk) +
          fan +
          0.09 * fbm(u * 1.8, v * 1.8, p.seed + 96, 3) +
          0.35 * last * (along - 1.62) * p.runs) +
      soft * mix(1, 0.4, rim);
    out.cutM = 0;
    out.cutT = 0;
    // The flaw is a narrow old crack along the radius at the start: dark, smooth, steep.
    const wall =
      p.flaw > 0
        ? (1 - ramp(p.flaw * 0.8, p.flaw, along + 0.03 * noise(across * 14, 3, p.seed + 97))) *
          (1 - ramp(0.2, 0.34, Math.abs(across)))
        : 0;
    const shine = Math.max(rim * 0.8, last * 0.7, 0.55 * p.silk);
    look(
      out,
      mix(mix(0.66, 0.3, shine), 0.5, wall),
      mix(mix(0.78, 1.0, shine), 0.22, wall),
      mix(mix(1, 0.35, shine), 1, wall),
    );
    out.r *= 1 + 0.25 * wall;
    out.b *= 1 - 0.15 * wall;
  };
}
