import type { Body } from "./body.ts";
import type { Face } from "./face/face.ts";
import { newSample } from "./face/face.ts";
import type { Metal } from "./metal.ts";
import { clamp, lengthOf, mix, noise } from "./noise.ts";

export type Side = "machine" | "takeUp";

export const OUTSIDE = 0;
export const FACE = 1;
export const SKIN = 2;

/**
 * One end as a height field, seen from the other end: column i to the right, row j down, `n` × `n` cells.
 * Heights are wire radii toward the viewer. Right is +y for the machine end and −y for the take-up end, up is +z for
 * both, so the two fields are mirror images of one break surface.
 */
export interface EndSurface {
  readonly side: Side;
  readonly n: number;
  readonly perRadius: number;
  /** Height of the broken face, also a little beyond the rim. */
  readonly face: Float32Array;
  /** Height of what is seen: face, or the outside of the wire behind the rim. */
  readonly seen: Float32Array;
  /** OUTSIDE, FACE or SKIN. */
  readonly kind: Uint8Array;
  /** Reflectance, 3 per cell, linear. */
  readonly albedo: Float32Array;
  readonly rough: Float32Array;
  readonly lowest: number;
  readonly highest: number;
}

/** Colour of a foreign particle: dark, oxide-covered iron. */
const PARTICLE_GREY = [0.13, 0.13, 0.145] as const;

/** Half width of the field, wire radii. */
export const FIELD_HALF = 1.14;

/** Rim radius that face shapes are drawn to, wire radii. */
export const faceUnit = (body: Body): number => body.spec.neck + (body.spec.band ? body.spec.band.ratio - 1 : 0);

/** A break surface sampled cell by cell in the machine end's view (right = +y) : see VALUES. */
interface FaceField {
  readonly n: number;
  readonly values: Float32Array;
}

/** h, cutM, cutT, rough, torn, particle, r, g, b */
const VALUES = 9;

function sampleField(face: Face, body: Body, perRadius: number, seed: number): FaceField {
  const n = 2 * Math.ceil(FIELD_HALF * perRadius);
  const values = new Float32Array(VALUES * n * n);
  const k = faceUnit(body);
  const out = newSample();
  for (let j = 0; j < n; j++) {
    const z = -(j + 0.5 - n / 2) / perRadius;
    for (let i = 0; i < n; i++) {
      const y = (i + 0.5 - n / 2) / perRadius;
      const rho = lengthOf(y, z);
      if (rho > 1.14 || rho >= body.rim(Math.atan2(z, y)) * 1.05) continue;
      out.particle = 0;
      out.cutM = 0;
      out.cutT = 0;
      face(y, z, (y - body.cy) / k, (z - body.cz) / k, k, out);
      // Torn metal is rough at any magnification.
      const fine = 0.0022 * noise(y * 120, z * 120, seed + 11) + 0.0012 * noise(y * 270, z * 270, seed + 12);
      const at = VALUES * (j * n + i);
      values[at] = out.h + out.torn * fine;
      values[at + 1] = out.cutM;
      values[at + 2] = out.cutT;
      values[at + 3] = out.rough;
      values[at + 4] = out.torn;
      values[at + 5] = out.particle;
      values[at + 6] = out.r;
      values[at + 7] = out.g;
      values[at + 8] = out.b;
    }
  }
  return { n, values };
}

/** Both ends of one break surface. @param perRadius – cells per wire radius. */
export function buildEnds(
  face: Face,
  takeUpFace: Face | undefined,
  body: Body,
  metal: Metal,
  perRadius: number,
  seed: number,
): Readonly<Record<Side, EndSurface>> {
  const field = sampleField(face, body, perRadius, seed);
  const other = takeUpFace ? sampleField(takeUpFace, body, perRadius, seed) : field;
  return {
    machine: buildEnd("machine", field, body, metal, perRadius, seed),
    takeUp: buildEnd("takeUp", other, body, metal, perRadius, seed),
  };
}

function buildEnd(side: Side, field: FaceField, body: Body, metal: Metal, perRadius: number, seed: number): EndSurface {
  const { n, values } = field;
  const surface = {
    side,
    n,
    perRadius,
    face: new Float32Array(n * n).fill(-1e3),
    seen: new Float32Array(n * n).fill(-1e3),
    kind: new Uint8Array(n * n),
    albedo: new Float32Array(3 * n * n),
    rough: new Float32Array(n * n),
  };
  const machine = side === "machine";
  let lowest = 1e9;
  let highest = -1e9;
  for (let j = 0; j < n; j++) {
    const z = -(j + 0.5 - n / 2) / perRadius;
    for (let i = 0; i < n; i++) {
      const p = (i + 0.5 - n / 2) / perRadius;
      const y = machine ? p : -p;
      const rho = lengthOf(y, z);
      const theta = Math.atan2(z, y);
      if (rho > 1.14) continue;
      const rim = body.rim(theta);
      const at = j * n + i;
      if (rho < rim * 1.05) {
        const from = VALUES * (j * n + (machine ? i : n - 1 - i));
        const h0 = values[from]!;
        const cutM = values[from + 1]!;
        const cutT = values[from + 2]!;
        const rough = values[from + 3]!;
        const torn = values[from + 4]!;
        const particle = values[from + 5]!;
        const h = machine ? h0 - cutM : -h0 - cutT;
        surface.face[at] = h;
        if (rho < rim) {
          surface.kind[at] = FACE;
          surface.seen[at] = h;
          if (h < lowest) lowest = h;
          if (h > highest) highest = h;
          const held = machine ? particle : 0;
          const imprint = machine ? 1 : 1 - 0.35 * particle;
          for (let c = 0; c < 3; c++) {
            const own = mix(metal.reflectance[c]!, metal.torn[c]!, torn) * values[from + 6 + c]! * imprint;
            surface.albedo[3 * at + c] = mix(own, PARTICLE_GREY[c]!, held);
          }
          surface.rough[at] = clamp(mix(rough, 0.42, held), 0.08, 1);
          continue;
        }
      }
      if (rho > body.outer(theta)) continue;
      surface.kind[at] = SKIN;
      surface.seen[at] = Math.max(-6, body.shoulder(rho, theta));
      if (body.nickDepth(theta) > 0.01 && rho > rim + 0.004) {
        // Fresh cut: the tool's scratches run along the notch.
        const a = body.spec.nick?.at ?? 0;
        const into = y * Math.cos(a) + z * Math.sin(a);
        const along = -y * Math.sin(a) + z * Math.cos(a);
        const scratch = noise(into * 70, along * 2.5, seed + 8) + 0.6 * noise(into * 170, along * 3, seed + 9);
        for (let c = 0; c < 3; c++)
          surface.albedo[3 * at + c] = Math.min(1, metal.reflectance[c]! * (1.05 + 0.3 * scratch));
        surface.rough[at] = 0.36;
        continue;
      }
      const streak = noise(1.5, (((theta + Math.PI) / (2 * Math.PI)) * 220) % 220, seed + 7, 220);
      for (let c = 0; c < 3; c++) surface.albedo[3 * at + c] = metal.reflectance[c]! * (0.85 + 0.2 * streak);
      surface.rough[at] = 0.3;
    }
  }
  return { ...surface, lowest, highest };
}

/** Height of the face at a place of the view plane, by bilinear interpolation. */
export function faceHeight(s: EndSurface, right: number, up: number): number {
  const fi = clamp(right * s.perRadius + s.n / 2 - 0.5, 0, s.n - 1.001);
  const fj = clamp(-up * s.perRadius + s.n / 2 - 0.5, 0, s.n - 1.001);
  const i = Math.floor(fi);
  const j = Math.floor(fj);
  const a = fi - i;
  const b = fj - j;
  const at = j * s.n + i;
  const top = s.face[at]! * (1 - a) + s.face[at + 1]! * a;
  const low = s.face[at + s.n]! * (1 - a) + s.face[at + s.n + 1]! * a;
  return top * (1 - b) + low * b;
}
