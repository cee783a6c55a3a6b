import type { Body } from "./body.ts";
import type { EndSurface } from "./end-surface.ts";
import { faceHeight } from "./end-surface.ts";
import type { Layer } from "./layer.ts";
import { newLayer } from "./layer.ts";
import type { Reach } from "./light.ts";
import { prepareLights, shade } from "./light.ts";
import type { Metal } from "./metal.ts";
import { clamp, lengthOf } from "./noise.ts";
import type { Openness } from "./occlusion.ts";
import { readMap } from "./occlusion.ts";
import type { SkinSample, SkinSpec } from "./skin.ts";
import { sampleSkin } from "./skin.ts";
import type { Framing } from "./view.ts";

/**
 * The end seen from the side: per pixel, a ray across the wire meets either the skin of the wire or, past the torn
 * edge, the broken face, which is the same height field that the end-on view shows.
 *
 * @param toward – direction to the lens in the y–z plane, degrees.
 * @param focusRange – blur radius per wire radius out of focus, px.
 */
export function renderSide(
  surface: EndSurface,
  open: Openness,
  body: Body,
  skin: SkinSpec,
  metal: Metal,
  frame: Framing,
  toward: number,
  focusRange: number,
): Layer {
  const layer = newLayer(frame.width, frame.height);
  const lights = prepareLights(frame.light);
  const s = frame.perRadius;
  const dir = surface.side === "machine" ? 1 : -1;
  const ty = Math.cos((toward * Math.PI) / 180);
  const tz = Math.sin((toward * Math.PI) / 180);
  const uy = tz;
  const uz = -ty;
  const turn = (frame.turnDeg * Math.PI) / 180;
  const cos = Math.cos(turn);
  const sin = Math.sin(turn);
  const here: Reach = { dome: 1, ring: 1, lamps: frame.light.lamps.map(() => 1) };
  const light = new Float64Array(3);
  const sample: SkinSample = { bump: 0, rough: 0, r: 1, g: 1, b: 1 };
  const beside: SkinSample = { ...sample };
  const upTheta = Math.atan2(uz, uy);
  const downTheta = Math.atan2(-uz, -uy);
  // A place nearer to the axis than any part of the rim need not be compared with it.
  let wellInside = 9;
  for (let k = 0; k < 720; k++) wellInside = Math.min(wellInside, 0.996 * body.rim((k * Math.PI) / 360) - 0.004);
  const neckDepth = 1 - body.spec.neck;
  const bendShare = body.bendShare(upTheta);

  const strainAt = (d: number): number =>
    neckDepth < 0.01 ? 0 : clamp(neckDepth * 1.6 * Math.exp(-((Math.max(0, d) / body.spec.neckLength) ** 2)), 0, 1);
  const freshAt = (d: number, theta: number): number => {
    const nick = body.spec.nick;
    if (!nick) return 0;
    return clamp(body.nickDepth(theta) * (1 - Math.max(0, d) / nick.halfLength) * 60, 0, 1);
  };
  const bumped = (x: number, theta: number, out: SkinSample): number => {
    const d = -dir * x;
    return body.radius(d, theta) + sampleSkin(skin, x, theta, strainAt(d), freshAt(d, theta), out).bump;
  };

  for (let j = 0; j < frame.height; j++)
    for (let i = 0; i < frame.width; i++) {
      const rx = i + 0.5 - frame.cx;
      const ry = j + 0.5 - frame.cy;
      const x = (rx * cos + ry * sin) / s;
      let up = -(-rx * sin + ry * cos) / s;
      const o = dir * x;
      let bendSlope = 0;
      if (bendShare !== 0 && o < 0) {
        const bend = body.bendAt(-o);
        up = (up - bend.offset * bendShare) * (1 + (bend.cos - 1) * Math.abs(bendShare));
        bendSlope = Math.sqrt(1 / (bend.cos * bend.cos) - 1) * bendShare * dir;
      }
      if (Math.abs(up) > 1.15) continue;
      if (o > surface.highest + 0.002) continue;
      const d = -o;
      const silhouette = body.radius(d, up > 0 ? upTheta : downTheta);
      const cover = clamp((silhouette - Math.abs(up)) * s + 0.5, 0, 1);
      if (cover <= 0) continue;
      const lift = Math.min(Math.abs(up), silhouette * 0.9995) * Math.sign(up);

      // First place on the ray where the wire's skin is met, allowing for a wire that is not round.
      let t = Math.sqrt(Math.max(0, silhouette * silhouette - lift * lift));
      let theta = 0;
      for (let k = 0; k < 3; k++) {
        theta = Math.atan2(lift * uz + t * tz, lift * uy + t * ty);
        const r = body.radius(d, theta);
        t = Math.sqrt(Math.max(0, r * r - lift * lift));
      }
      // The face is asked no farther out than its rim: behind the neck the wire is wider than the face.
      const outward = (w: number): number => {
        let y = lift * uy + w * ty;
        let z = lift * uz + w * tz;
        const rho = lengthOf(y, z);
        if (rho <= wellInside) return faceHeight(surface, dir * y, z) - o;
        const rim = 0.996 * body.rim(Math.atan2(z, y));
        if (rho > rim) {
          y *= rim / rho;
          z *= rim / rho;
        }
        return faceHeight(surface, dir * y, z) - o;
      };
      let nx = 0;
      let ny = 0;
      let nz = 0;
      let r = 1;
      let g = 1;
      let b = 1;
      let rough = 0.3;
      here.dome = 1;
      const edgeIn = o < surface.lowest ? 1 : outward(t * 0.998);
      if (edgeIn > 0) {
        const ex = 1.2 / s;
        const et = 1.2 / s;
        const r0 = bumped(x, theta, sample);
        const rx1 = bumped(x + ex, theta, beside);
        const rt1 = bumped(x, theta + et, beside);
        r = metal.reflectance[0] * sample.r;
        g = metal.reflectance[1] * sample.g;
        b = metal.reflectance[2] * sample.b;
        rough = sample.rough;
        const sx = clamp((rx1 - r0) / ex, -2, 2);
        const st = clamp((rt1 - r0) / et / Math.max(0.3, r0), -2, 2);
        const len = 1 / Math.sqrt(1 + sx * sx + st * st);
        nx = -sx * len;
        ny = (Math.cos(theta) + st * Math.sin(theta)) * len;
        nz = (Math.sin(theta) - st * Math.cos(theta)) * len;
      } else {
        const step = 1.6 / s;
        let w = t * 0.998;
        let hit = false;
        for (w -= step; w > -t * 0.998; w -= step)
          if (outward(w) > 0) {
            hit = true;
            break;
          }
        if (!hit) continue;
        let lo = w;
        let hi = w + step;
        for (let k = 0; k < 5; k++) {
          const m = (lo + hi) / 2;
          if (outward(m) > 0) lo = m;
          else hi = m;
        }
        t = lo;
        const y = lift * uy + t * ty;
        const z = lift * uz + t * tz;
        const e = 0.8 / s;
        const p = dir * y;
        const gp = clamp((faceHeight(surface, p + e, z) - faceHeight(surface, p - e, z)) / (2 * e), -5, 5);
        const gq = clamp((faceHeight(surface, p, z + e) - faceHeight(surface, p, z - e)) / (2 * e), -5, 5);
        const len = 1 / Math.sqrt(1 + gp * gp + gq * gq);
        nx = dir * len;
        ny = -dir * gp * len;
        nz = -gq * len;
        const ci = clamp(Math.floor(p * surface.perRadius + surface.n / 2), 0, surface.n - 1);
        const cj = clamp(Math.floor(-z * surface.perRadius + surface.n / 2), 0, surface.n - 1);
        const at = cj * surface.n + ci;
        r = surface.albedo[3 * at]!;
        g = surface.albedo[3 * at + 1]!;
        b = surface.albedo[3 * at + 2]!;
        rough = surface.rough[at]!;
        here.dome = 0.3 + 0.7 * clamp(readMap(open.dome, open.m, ci / surface.n, cj / surface.n), 0, 1);
      }
      if (bendSlope !== 0) {
        // The bent wire's surface leans with its axis.
        const nu = ny * uy + nz * uz;
        const len = lengthOf(1, bendSlope);
        const along = (nx + bendSlope * nu) / len;
        const over = (nu - bendSlope * nx) / len;
        ny += (over - nu) * uy;
        nz += (over - nu) * uz;
        nx = along;
      }
      here.ring = here.dome;
      for (let k = 0; k < here.lamps.length; k++) here.lamps[k] = here.dome;
      shade(lights, nx, ny * uy + nz * uz, ny * ty + nz * tz, r, g, b, rough, here, light);
      const at = j * frame.width + i;
      for (let c = 0; c < 3; c++) layer.rgba[4 * at + c] = Math.min(6, light[c]!) * cover;
      layer.rgba[4 * at + 3] = cover;
      layer.blur[at] = Math.abs(t - 0.6) * focusRange;
    }
  return layer;
}
