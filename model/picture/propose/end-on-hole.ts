import type { Point } from "../../break/geometry.ts";
import type { EllipseGeometry } from "../../measure/outline.ts";
import { polygonArea } from "../pixels/contour.ts";
import type { GreyImage } from "../pixels/grey.ts";
import { newGrey } from "../pixels/grey.ts";
import type { Band } from "./band-edges.ts";
import { unrollBand } from "./band-edges.ts";
import type { ColourPlanes } from "./colour-planes.ts";
import type { DarkPatch } from "./dark-patch.ts";
import { darkPatches } from "./dark-patch.ts";
import { enlarge } from "./enlarge.ts";
import type { HoleSigns } from "./hole-signs.ts";
import { holeSigns, insideShare } from "./hole-signs.ts";
import { holeWorth } from "./hole-worth.ts";
import { traceRing } from "./ring-trace.ts";

export interface FoundHole {
  /** In px of the fine copy. */
  readonly polygon: readonly Point[];
  readonly signs: HoleSigns;
  /** 0–1, larger = surer. */
  readonly worth: number;
}

const RAYS = 90;

/**
 * The dark area of the face that most looks like an open hole.
 *
 * @param outline – in px of the fine copy.
 * @returns the best with its worth, however little that is; null when there is no dark area.
 */
export function findHole(coarse: ColourPlanes, fine: ColourPlanes, outline: EllipseGeometry): FoundHole | null {
  const by = coarse.by / fine.by;
  let best: FoundHole | null = null;
  for (const patch of darkPatches(lumaOf(coarse), enlarge(outline, 1 / by))) {
    const hole = edgeOf(fine, outline, patch, by);
    if (hole !== null && (best === null || hole.worth > best.worth)) best = hole;
  }
  return best;
}

/** @source ITU-R BT.709-6, 3.2 (coefficients of luma) */
function lumaOf({ widthPx, heightPx, planes: [red, green, blue] }: ColourPlanes): GreyImage {
  const grey = newGrey(widthPx, heightPx);
  for (let i = 0; i < grey.data.length; i++)
    grey.data[i] = 0.2126 * red.data[i]! + 0.7152 * green.data[i]! + 0.0722 * blue.data[i]!;
  return grey;
}

function edgeOf(fine: ColourPlanes, outline: EllipseGeometry, patch: DarkPatch, by: number): FoundHole | null {
  const size = Math.sqrt(outline.rx * outline.ry);
  const radius = by * Math.sqrt(patch.areaPx / Math.PI);
  const [cx, cy] = [by * patch.cx, by * patch.cy];
  const around: EllipseGeometry = { type: "ellipse", cx, cy, rx: radius, ry: radius, angle_deg: 0 };
  const band = unrollBand(fine, around, 0.3, 1.9, RAYS, 3);
  const line = traceRing(
    outwardSteps(band, patch, by, outline, Math.max(2, Math.round(0.03 * size))),
    RAYS,
    band.steps,
    0.004,
  );
  const polygon = smoothed(line).map((s, k): Point => {
    const r = radius * (band.from + s * band.perStep);
    const angle = (2 * Math.PI * k) / RAYS;
    return [cx + r * Math.cos(angle), cy + r * Math.sin(angle)];
  });
  const area = Math.abs(polygonArea(polygon));
  if (!(area > 0)) return null;
  const signs = holeSigns(fine, outline, polygon, area);
  return { polygon, signs, worth: holeWorth(signs) };
}

/** Brighter outward counts, near the patch's own border most; the band outside the wire counts nothing. */
function outwardSteps(band: Band, patch: DarkPatch, by: number, outline: EllipseGeometry, span: number): Float32Array {
  const { rays, steps, colour } = band;
  const gain = new Float32Array(rays * steps);
  const limit = 0.97;
  for (let k = 0; k < rays; k++) {
    const angle = (2 * Math.PI * k) / rays;
    const border = by * borderAlong(patch, angle);
    for (let s = span; s <= steps - span; s++) {
      let sum = 0;
      for (const plane of colour)
        for (let i = 0; i < span; i++) sum += plane[k * steps + s + i]! - plane[k * steps + s - 1 - i]!;
      const r = band.ellipse.rx * (band.from + s * band.perStep);
      const [x, y] = [band.ellipse.cx + r * Math.cos(angle), band.ellipse.cy + r * Math.sin(angle)];
      const off = (r - border) / (0.25 * band.ellipse.rx);
      const near = Math.exp(-0.5 * off * off);
      const step = Number.isNaN(sum) ? 0 : sum / (3 * span);
      gain[k * steps + s] = insideShare(outline, x, y) > limit ? -1 : Math.max(-0.02, step) * near;
    }
    for (let s = 0; s < span; s++) gain[k * steps + s] = -1;
    for (let s = steps - span + 1; s < steps; s++) gain[k * steps + s] = -1;
  }
  return gain;
}

/** Radius at which the patch ends on a ray from its middle, px: the last of its pixels. */
function borderAlong({ mask, cx, cy }: DarkPatch, angle: number): number {
  const [dx, dy] = [Math.cos(angle), Math.sin(angle)];
  let last = 0;
  for (let r = 0; ; r++) {
    const x = Math.floor(cx + dx * r);
    const y = Math.floor(cy + dy * r);
    if (x < 0 || y < 0 || x >= mask.widthPx || y >= mask.heightPx) return last;
    if (mask.data[y * mask.widthPx + x] === 1) last = r;
  }
}

/** Three neighbours averaged: rays are a few pixels apart. */
const smoothed = (line: Int32Array): number[] =>
  Array.from(line, (s, k) => (s + line[(k + 1) % line.length]! + line[(k - 1 + line.length) % line.length]!) / 3);
