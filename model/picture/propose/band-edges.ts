import type { EllipseGeometry } from "../../measure/outline.ts";
import type { ColourPlanes } from "./colour-planes.ts";

/** A band around an ellipse, unrolled: one ray from its middle per row. */
export interface Band {
  readonly rays: number;
  readonly steps: number;
  readonly ellipse: EllipseGeometry;
  /** Share of the ellipse's radius at the first step, and from step to step. */
  readonly from: number;
  readonly perStep: number;
  /** Red, green, blue, 0–1; not a number outside the picture. */
  readonly colour: readonly [Float32Array, Float32Array, Float32Array];
}

/** Radius of an ellipse seen from its middle, px. @param angle – radians from +x toward +y. */
export function radiusAt(e: EllipseGeometry, angle: number): number {
  const a = angle - (e.angle_deg * Math.PI) / 180;
  return (e.rx * e.ry) / Math.hypot(e.ry * Math.cos(a), e.rx * Math.sin(a));
}

/**
 * Unrolls the band between two multiples of an ellipse's radius and averages it along the ellipse.
 *
 * @param alongDeg – each value is the mean over ± this angle: edges along the ellipse stay, grain goes.
 */
export function unrollBand(
  copy: ColourPlanes,
  ellipse: EllipseGeometry,
  from: number,
  to: number,
  rays: number,
  alongDeg: number,
): Band {
  const steps = Math.max(8, Math.ceil((to - from) * Math.max(ellipse.rx, ellipse.ry)));
  const perStep = (to - from) / steps;
  const across = Math.round((alongDeg / 360) * rays);
  const [red, green, blue] = copy.planes.map(({ data }) => {
    const raw = new Float32Array(rays * steps).fill(NaN);
    for (let k = 0; k < rays; k++) {
      const angle = (2 * Math.PI * k) / rays;
      const radius = radiusAt(ellipse, angle);
      const [dx, dy] = [radius * Math.cos(angle), radius * Math.sin(angle)];
      for (let s = 0; s < steps; s++) {
        const rho = from + s * perStep;
        const x = ellipse.cx + dx * rho - 0.5;
        const y = ellipse.cy + dy * rho - 0.5;
        if (x < 0 || y < 0 || x >= copy.widthPx - 1 || y >= copy.heightPx - 1) break;
        const x0 = x | 0;
        const y0 = y | 0;
        const at = y0 * copy.widthPx + x0;
        const [a, b] = [x - x0, y - y0];
        const top = data[at]! * (1 - a) + data[at + 1]! * a;
        const low = data[at + copy.widthPx]! * (1 - a) + data[at + copy.widthPx + 1]! * a;
        raw[k * steps + s] = top * (1 - b) + low * b;
      }
    }
    return meanAlong(raw, rays, steps, across);
  }) as [Float32Array, Float32Array, Float32Array];
  return { rays, steps, ellipse, from, perStep, colour: [red, green, blue] };
}

function meanAlong(raw: Float32Array, rays: number, steps: number, across: number): Float32Array {
  if (across === 0) return raw;
  const out = new Float32Array(raw.length).fill(NaN);
  for (let s = 0; s < steps; s++)
    for (let k = 0; k < rays; k++) {
      if (Number.isNaN(raw[k * steps + s]!)) continue;
      let [sum, n] = [0, 0];
      for (let d = -across; d <= across; d++) {
        const v = raw[((k + d + rays) % rays) * steps + s]!;
        if (!Number.isNaN(v)) {
          sum += v;
          n++;
        }
      }
      out[k * steps + s] = sum / n;
    }
  return out;
}

/**
 * Colour step along each ray: the length of (mean of the next `span` steps − mean of the last `span` steps).
 *
 * @returns per ray and step, colour; 0 where the window leaves the band or the picture.
 */
export function stepsAcross({ rays, steps, colour }: Band, span: number): Float32Array {
  const squares = new Float32Array(rays * steps);
  for (const plane of colour)
    for (let k = 0; k < rays; k++) {
      const row = k * steps;
      for (let s = span; s <= steps - span; s++) {
        let difference = 0;
        for (let i = 0; i < span; i++) difference += plane[row + s + i]! - plane[row + s - 1 - i]!;
        const d = difference / span;
        // A window that leaves the picture has no value.
        if (Number.isNaN(d)) break;
        squares[row + s]! += d * d;
      }
    }
  return squares.map(Math.sqrt);
}
