import type { EllipseGeometry } from "../../measure/outline.ts";
import type { Component } from "../pixels/components.ts";
import { componentsOf, maskOfComponent } from "../pixels/components.ts";
import { softBlur } from "../pixels/box-blur.ts";
import type { GreyImage } from "../pixels/grey.ts";
import type { Mask } from "../pixels/mask.ts";
import { fillHoles, newMask } from "../pixels/mask.ts";
import { histogramOf, otsu, otsuTwo } from "../pixels/threshold.ts";

/** A dark area of the face. Lengths in px of the picture searched. */
export interface DarkPatch {
  readonly mask: Mask;
  readonly areaPx: number;
  readonly cx: number;
  readonly cy: number;
}

/** Share of the wire's radius within which a hole is looked for: the rim itself is often dark. */
const WITHIN = 0.9;
const SMALLEST_SHARE = 0.015;
const LARGEST_SHARE = 0.75;

/**
 * Dark areas of a face that a hole could be: parted from the rest by one and by two grey levels, closed, and not grown
 * together with the rim.
 */
export function darkPatches(grey: GreyImage, outline: EllipseGeometry): DarkPatch[] {
  const size = Math.sqrt(outline.rx * outline.ry);
  const soft = softBlur(grey, 0.035 * size);
  const face = insideEllipse(grey, outline, WITHIN);
  const histogram = histogramOf(soft, face);
  const levels = new Set<number>();
  const one = otsu(histogram);
  if (one === null) return [];
  levels.add(one.level);
  for (const level of otsuTwo(histogram) ?? []) levels.add(level);
  const whole = Math.PI * outline.rx * outline.ry;
  const patches: DarkPatch[] = [];
  for (const level of levels) {
    const dark = newMask(grey.widthPx, grey.heightPx);
    for (let i = 0; i < dark.data.length; i++) dark.data[i] = face.data[i] === 1 && soft.data[i]! <= level ? 1 : 0;
    const found = componentsOf(dark, 4);
    for (const patch of found.list.slice(0, 4)) {
      if (patch.areaPx < SMALLEST_SHARE * whole) break;
      const mask = fillHoles(maskOfComponent(found, patch.label));
      if (growsIntoRim(mask, outline)) continue;
      const filled = componentsOf(mask, 4).list[0];
      if (filled !== undefined && filled.areaPx <= LARGEST_SHARE * whole) patches.push(patchOf(mask, filled));
    }
  }
  return patches;
}

const patchOf = (mask: Mask, { areaPx, cx, cy }: Component): DarkPatch => ({ mask, areaPx, cx, cy });

function insideEllipse({ widthPx, heightPx }: GreyImage, e: EllipseGeometry, share: number): Mask {
  const mask = newMask(widthPx, heightPx);
  const a = (e.angle_deg * Math.PI) / 180;
  const [cos, sin] = [Math.cos(a), Math.sin(a)];
  for (let y = 0, at = 0; y < heightPx; y++)
    for (let x = 0; x < widthPx; x++, at++) {
      const [dx, dy] = [x + 0.5 - e.cx, y + 0.5 - e.cy];
      const u = (dx * cos + dy * sin) / (e.rx * share);
      const v = (dy * cos - dx * sin) / (e.ry * share);
      if (u * u + v * v < 1) mask.data[at] = 1;
    }
  return mask;
}

/** True where more than a few degrees of the border of the searched area are dark. */
function growsIntoRim({ widthPx, heightPx, data }: Mask, e: EllipseGeometry): boolean {
  let touching = 0;
  const rays = 120;
  const a = (e.angle_deg * Math.PI) / 180;
  for (let k = 0; k < rays; k++) {
    const t = (2 * Math.PI * k) / rays;
    const u = e.rx * (WITHIN - 0.02) * Math.cos(t);
    const v = e.ry * (WITHIN - 0.02) * Math.sin(t);
    const x = Math.floor(e.cx + u * Math.cos(a) - v * Math.sin(a));
    const y = Math.floor(e.cy + u * Math.sin(a) + v * Math.cos(a));
    if (x >= 0 && y >= 0 && x < widthPx && y < heightPx && data[y * widthPx + x] === 1) touching++;
  }
  return touching > 0.03 * rays;
}
