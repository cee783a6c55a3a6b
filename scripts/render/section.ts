import type { Body } from "./body.ts";
import type { EndSurface } from "./end-surface.ts";
import { faceHeight } from "./end-surface.ts";
import type { Layer } from "./layer.ts";
import { newLayer } from "./layer.ts";
import type { Metal } from "./metal.ts";
import { clamp, fbm, noise, ramp } from "./noise.ts";
import type { Framing } from "./view.ts";

/** What a cut along the axis shows inside the wire. Lengths in wire radii, x downstream from the break plane. */
export interface SectionSpec {
  readonly seed: number;
  /** Tips of V cracks, their half width across the wire, and the angle of one arm to the axis. */
  readonly chevrons?: {
    readonly tips: readonly number[];
    readonly points: 1 | -1;
    readonly reach: number;
    readonly armDeg: number;
  };
  /** A cavity that runs on along the wire: half width and middle. */
  readonly cavity?: { readonly half: number; readonly middle: number };
}

/** Darkness of an open crack or cavity at a place of the section, 0–1. */
function opening(spec: SectionSpec, x: number, z: number): number {
  let dark = 0;
  const c = spec.chevrons;
  if (c) {
    const slope = 1 / Math.tan((c.armDeg * Math.PI) / 180);
    c.tips.forEach((tip, n) => {
      const reach = c.reach * (0.86 + 0.28 * (noise(tip * 3, 1, spec.seed + n) * 0.5 + 0.5));
      const a = Math.abs(z + 0.015 * noise(x * 4, n, spec.seed + 3));
      if (a > reach) return;
      const arm =
        tip - c.points * a * slope + 0.03 * noise(z * 9, n, spec.seed + 4) + 0.012 * noise(z * 38, n, spec.seed + 5);
      const behind = -c.points * (x - arm);
      const open = 0.2 * (1 - a / reach) ** 0.8 + 0.012;
      dark = Math.max(dark, ramp(-0.012, 0.012, behind) * (1 - ramp(open - 0.015, open + 0.015, behind)));
    });
  }
  return dark;
}

/** Where a cavity lies open in the cut, 0–1: the mount fills it. */
function cavityAt(spec: SectionSpec, x: number, z: number): number {
  const v = spec.cavity;
  if (!v) return 0;
  const row = z > v.middle ? 0 : 6;
  const lumps =
    0.1 * noise(x * 0.9, row + 1.5, spec.seed + 6) +
    0.09 * Math.abs(noise(x * 4, row + 9.5, spec.seed + 7)) +
    0.05 * noise(x * 11, row + 3.5, spec.seed + 12);
  return ramp(0.008, -0.008, Math.abs(z - v.middle) - v.half * (1 + lumps));
}

/** A mounted and polished cut along the axis (the x–z plane): bright metal, dark cracks, resin round it. */
export function renderSection(surface: EndSurface, body: Body, spec: SectionSpec, metal: Metal, frame: Framing): Layer {
  const layer = newLayer(frame.width, frame.height);
  const dir = surface.side === "machine" ? 1 : -1;
  const turn = (frame.turnDeg * Math.PI) / 180;
  const cos = Math.cos(turn);
  const sin = Math.sin(turn);
  for (let j = 0; j < frame.height; j++)
    for (let i = 0; i < frame.width; i++) {
      const rx = i + 0.5 - frame.cx;
      const ry = j + 0.5 - frame.cy;
      const x = (rx * cos + ry * sin) / frame.perRadius;
      const z = -(-rx * sin + ry * cos) / frame.perRadius;
      const o = dir * x;
      const radius = body.radius(-o, z > 0 ? Math.PI / 2 : -Math.PI / 2);
      const skin = clamp((radius - Math.abs(z)) * frame.perRadius, 0, 1);
      // A hole in the face is drawn as the cavity, not as the slanting wall of the height field.
      const inCavity = spec.cavity && Math.abs(z - spec.cavity.middle) < spec.cavity.half * 1.25;
      const asked = inCavity ? spec.cavity.middle + Math.sign(z - spec.cavity.middle) * spec.cavity.half * 1.25 : z;
      const inFace = clamp(
        (faceHeight(surface, 0, clamp(asked, -0.99 * radius, 0.99 * radius)) - o) * frame.perRadius,
        0,
        1,
      );
      const cover = skin * inFace * (1 - cavityAt(spec, x, z));
      if (cover <= 0) continue;
      const dark = opening(spec, x, z);
      const flow = 0.05 * noise(x * 0.5, z * 26, spec.seed + 8) + 0.04 * noise(x * 1.1, z * 70, spec.seed + 9);
      const grain = 0.035 * fbm(x * 9, z * 30, spec.seed + 10, 3);
      const scratch =
        ramp(0.62, 0.72, noise((x * 0.8 + z * 0.6) * 60, (z * 0.8 - x * 0.6) * 0.8, spec.seed + 11)) * 0.05;
      const v = (0.78 + flow + grain - scratch) * (1 - 0.93 * dark);
      const at = j * frame.width + i;
      const edge = 1 - 0.3 * ramp(0.03, 0, radius - Math.abs(z));
      for (let c = 0; c < 3; c++) layer.rgba[4 * at + c] = v * edge * (0.25 + 0.75 * metal.reflectance[c]!) * cover;
      layer.rgba[4 * at + 3] = cover;
    }
  return layer;
}
