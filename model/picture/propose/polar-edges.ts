import type { GreyImage } from "../pixels/grey.ts";
import { sampleGrey } from "../pixels/grey.ts";
import type { ColourPlanes } from "./colour-planes.ts";

/** A picture unrolled around a place: one ray per row, one px of radius per column. */
export interface PolarEdges {
  readonly rays: number;
  readonly radii: number;
  readonly cx: number;
  readonly cy: number;
  /** Strength of the colour step along the ray, 0–1 colour per px; 0 beyond the edge of the picture. */
  readonly strength: Float32Array;
  /** Radius at which each ray leaves the picture. */
  readonly reach: Float32Array;
}

/**
 * How strongly the colour changes along each ray from a place outward, over a window of ± `spanPx`, smoothed across
 * neighbouring rays: an edge that runs around the place adds up, torn metal and grain do not.
 *
 * @param acrossRays – rays on each side that are averaged.
 */
export function polarEdges(
  { planes, widthPx, heightPx }: ColourPlanes,
  cx: number,
  cy: number,
  rays: number,
  spanPx: number,
  acrossRays: number,
): PolarEdges {
  const corners = [cx, widthPx - cx].flatMap((x) => [cy, heightPx - cy].map((y) => Math.hypot(x, y)));
  const radii = Math.ceil(Math.max(...corners)) + 1;
  const reach = new Float32Array(rays);
  const squares = new Float32Array(rays * radii);
  for (let k = 0; k < rays; k++) reach[k] = rayReach(widthPx, heightPx, cx, cy, (2 * Math.PI * k) / rays);
  for (const plane of planes) {
    const profile = smoothedRays(plane, cx, cy, rays, radii, reach, acrossRays);
    for (let k = 0; k < rays; k++)
      addSteps(profile, squares, k * radii, Math.min(radii, Math.floor(reach[k]!)), spanPx);
  }
  return { rays, radii, cx, cy, strength: squares.map(Math.sqrt), reach };
}

function rayReach(w: number, h: number, cx: number, cy: number, angle: number): number {
  const [dx, dy] = [Math.cos(angle), Math.sin(angle)];
  const x = dx > 1e-9 ? (w - cx) / dx : dx < -1e-9 ? -cx / dx : Infinity;
  const y = dy > 1e-9 ? (h - cy) / dy : dy < -1e-9 ? -cy / dy : Infinity;
  return Math.max(0, Math.min(x, y));
}

function smoothedRays(
  plane: GreyImage,
  cx: number,
  cy: number,
  rays: number,
  radii: number,
  reach: Float32Array,
  across: number,
): Float32Array {
  const raw = new Float32Array(rays * radii);
  for (let k = 0; k < rays; k++) {
    const [dx, dy] = [Math.cos((2 * Math.PI * k) / rays), Math.sin((2 * Math.PI * k) / rays)];
    const end = Math.min(radii, Math.floor(reach[k]!));
    for (let r = 0; r < end; r++) raw[k * radii + r] = sampleGrey(plane, cx + dx * (r + 0.5), cy + dy * (r + 0.5));
  }
  if (across === 0) return raw;
  const out = new Float32Array(raw.length);
  for (let k = 0; k < rays; k++) {
    const end = Math.min(radii, Math.floor(reach[k]!));
    for (let r = 0; r < end; r++) {
      let sum = 0;
      let n = 0;
      for (let d = -across; d <= across; d++) {
        const ray = (k + d + rays) % rays;
        if (r < reach[ray]! - 1) {
          sum += raw[ray * radii + r]!;
          n++;
        }
      }
      out[k * radii + r] = n > 0 ? sum / n : raw[k * radii + r]!;
    }
  }
  return out;
}

/** Adds the square of (mean of the next `span` px − mean of the last `span` px) / span. */
function addSteps(profile: Float32Array, squares: Float32Array, from: number, end: number, span: number): void {
  let ahead = 0;
  let behind = 0;
  if (end < 2 * span) return;
  for (let r = 0; r < span; r++) {
    behind += profile[from + r]!;
    ahead += profile[from + span + r]!;
  }
  for (let r = span; r <= end - span; r++) {
    const step = (ahead - behind) / (span * span);
    squares[from + r]! += step * step;
    if (r === end - span) break;
    behind += profile[from + r]! - profile[from + r - span]!;
    ahead += profile[from + r + span]! - profile[from + r]!;
  }
}
