import { boxBlur } from "./blur.ts";
import type { Body } from "./body.ts";
import type { EndSurface } from "./end-surface.ts";
import { FACE, OUTSIDE } from "./end-surface.ts";
import type { Layer } from "./layer.ts";
import { newLayer } from "./layer.ts";
import type { Reach } from "./light.ts";
import { prepareLights, shade } from "./light.ts";
import { clamp, lengthOf } from "./noise.ts";
import type { Openness } from "./occlusion.ts";
import { between, reach } from "./occlusion.ts";
import type { Framing } from "./view.ts";

/** Height in focus: the torn metal, not the bottom of a hole, wire radii. */
export function focusHeight(surface: EndSurface): number {
  const heights: number[] = [];
  const step = Math.max(1, Math.floor(surface.n / 90));
  for (let j = 0; j < surface.n; j += step)
    for (let i = 0; i < surface.n; i += step)
      if (surface.kind[j * surface.n + i] === FACE) heights.push(surface.face[j * surface.n + i]!);
  heights.sort((a, b) => a - b);
  return heights[Math.floor(heights.length * 0.66)] ?? 0;
}

/**
 * The end seen along the wire. The field of the end is laid cell by cell on the picture, so `frame.perRadius` must be
 * the field's own.
 *
 * @param focusRange – blur radius per wire radius out of focus, px.
 */
export function renderEndOn(
  surface: EndSurface,
  open: Openness,
  body: Body,
  frame: Framing,
  focusRange: number,
): Layer {
  const { n, seen, perRadius } = surface;
  const { m } = open;
  const layer = newLayer(frame.width, frame.height);
  const lights = prepareLights(frame.light);
  const ring = reach(open, "ring", frame.light.ring.elevationDeg, 0.3);
  const lamps = frame.light.lamps.map((l) => reach(open, l.azimuthDeg, l.elevationDeg, 0.12 + l.widthDeg / 90));
  const near = perRadius / 560;
  const held = new Float32Array(seen);
  for (let i = 0; i < held.length; i++) if (held[i]! < -2.5) held[i] = -2.5;
  const fine = boxBlur(held, n, n, 1, Math.max(1, 4 * near), 2);
  const wide = boxBlur(held, n, n, 1, Math.max(2, 15 * near), 2);
  const focus = focusHeight(surface);
  const x0 = Math.round(frame.cx - n / 2);
  const y0 = Math.round(frame.cy - n / 2);
  const sharp = near ** 0.2;
  const here: Reach = { dome: 1, ring: 1, lamps: lamps.map(() => 1) };
  const light = new Float64Array(3);
  for (let j = 1; j < n - 1; j++)
    for (let i = 1; i < n - 1; i++) {
      const at = j * n + i;
      if (surface.kind[at] === OUTSIDE) continue;
      const px = x0 + i;
      const py = y0 + j;
      if (px < 0 || py < 0 || px >= frame.width || py >= frame.height) continue;
      const right = (i + 0.5 - n / 2) / perRadius;
      const up = -(j + 0.5 - n / 2) / perRadius;
      const theta = Math.atan2(up, surface.side === "machine" ? right : -right);
      const cover = clamp((body.outer(theta) - lengthOf(right, up)) * perRadius, 0, 1);
      const slope = perRadius / 2;
      const limit = 4;
      const gx = clamp((held[at + 1]! - held[at - 1]!) * slope, -limit, limit);
      const gy = clamp((held[at - n]! - held[at + n]!) * slope, -limit, limit);
      const len = 1 / Math.sqrt(1 + gx * gx + gy * gy);
      const fx = clamp((i / n) * m - 0.5, 0, m - 1.001);
      const fy = clamp((j / n) * m - 0.5, 0, m - 1.001);
      const mi = Math.floor(fx);
      const mj = Math.floor(fy);
      const a = fx - mi;
      const b = fy - mj;
      const cell = mj * m + mi;
      here.dome = clamp(between(open.dome, cell, m, a, b), 0, 1) ** 1.25;
      here.ring = between(ring, cell, m, a, b);
      for (let k = 0; k < lamps.length; k++) here.lamps[k] = between(lamps[k]!, cell, m, a, b);
      const h = held[at]!;
      const cavity =
        surface.kind[at] === FACE
          ? clamp(1 + 20 * (h - fine[at]!) * sharp, 0.55, 1.4) * clamp(1 + 6 * (h - wide[at]!), 0.6, 1.3)
          : 1;
      shade(
        lights,
        -gx * len,
        -gy * len,
        len,
        surface.albedo[3 * at]!,
        surface.albedo[3 * at + 1]!,
        surface.albedo[3 * at + 2]!,
        surface.rough[at]!,
        here,
        light,
      );
      const to = py * frame.width + px;
      for (let c = 0; c < 3; c++) layer.rgba[4 * to + c] = Math.min(6, light[c]! * cavity) * cover;
      layer.rgba[4 * to + 3] = cover;
      layer.blur[to] = Math.abs(Math.max(-3, seen[at]!) - focus) * focusRange;
    }
  return layer;
}
