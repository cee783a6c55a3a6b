import { fbm, ramp } from "../noise.ts";
import type { Face } from "./face.ts";
import { look } from "./face.ts";
import { fibrous, granular } from "./textures.ts";

/** Shapes whose true size is known, under the texture of torn metal: for trying what heights are worth. */

/** A level face, tilted. @param tiltDeg – about the vertical, rising to the right as the machine end is seen. */
export function tiltedFace(tiltDeg: number, seed: number): Face {
  const slope = Math.tan((tiltDeg * Math.PI) / 180);
  return (y, z, _u, _v, _k, out) => {
    out.h = y * slope + fibrous(y, z, 0.05, seed) * 0.4;
    out.cutM = 0;
    out.cutT = 0;
    look(out, 0.5, 0.9, 0.8);
  };
}

/** Two level halves. @param rise – of the right half over the left one as the machine end is seen, wire radii. */
export function steppedFace(rise: number, seed: number): Face {
  return (y, z, _u, _v, _k, out) => {
    out.h = rise * ramp(-0.01, 0.01, y) + granular(y, z, 0.05, seed) * 0.5;
    out.cutM = 0;
    out.cutT = 0;
    look(out, 0.5, 0.88, 0.82);
  };
}

/** A level face with a round hole that ends in a level floor. @param hole, depth – wire radii. */
export function blindHole(hole: number, depth: number, seed: number): Face {
  return (y, z, _u, _v, _k, out) => {
    const inside = ramp(-0.01, 0.01, hole - Math.hypot(y, z) + 0.02 * fbm(2 * y, 2 * z, seed + 3, 2));
    out.h = fibrous(y, z, 0.05, seed) * 0.45;
    out.cutM = inside * depth;
    out.cutT = inside * depth;
    look(out, 0.52, 0.9, 0.8);
  };
}
