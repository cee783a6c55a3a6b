import type { Point } from "../../break/geometry.ts";
import { componentsOf, maskOfComponent } from "../pixels/components.ts";
import { outerContour } from "../pixels/contour.ts";
import type { GreyImage } from "../pixels/grey.ts";
import { newGrey } from "../pixels/grey.ts";
import type { Mask } from "../pixels/mask.ts";
import { fillHoles, maskOver } from "../pixels/mask.ts";
import { histogramOf, otsu } from "../pixels/threshold.ts";
import type { SmallColours } from "./side-planes.ts";
import { binomial } from "./side-planes.ts";

/** Where the wire differs from its ground in colour, whatever the light does. */
export interface ColourOutline {
  /** Points a pixel apart, px of the smaller copy: from the rim of the picture round the break and back to the rim. */
  readonly points: readonly Point[];
  /** Difference between wire and ground in units of how much the ground itself differs. */
  readonly contrast: number;
}

/** Added to the sum of the three colours, 0–1 each: keeps the noise of dark places down. */
const DARK = 0.3;
/** Bins of the search for the ground's colour. */
const BIN = 0.01;
const BINS = 100;
/** Pixels this near to the ground's colour tell how much it differs within itself. */
const GROUND_NEAR = 0.03;
/** Smallest difference between wire and ground, absolute and in units of the ground's own. */
const LEAST = 0.035;
const LEAST_TIMES = 8;
/** Part of the difference from which on a pixel is of the wire, and least part in units of the ground's own. */
const SHARE = 0.45;
const SURE_TIMES = 4;
/** Part of the picture a wire covers at least. */
const LEAST_AREA = 0.008;
/** The outline hugs the rim of the picture within this distance, px. */
const RIM_PX = 1;
/** Part of the outline that is one stretch from rim to rim. */
const ONE_STRETCH = 0.85;

/**
 * Outline of a wire whose colour is not that of its ground. Light and shadow change how bright a ground is, not the
 * shares of red, green and blue: neither a cast shadow nor a shade of metal equal to the ground's can mislead it.
 *
 * @returns null when wire and ground have about the same colour, or no patch of another colour comes in from the rim.
 */
export function colourOutline(small: SmallColours): ColourOutline | null {
  const away = fromGround(small);
  if (away === null) return null;
  const { distance, own } = away;
  const parting = otsu(histogramOf(distance));
  if (parting === null) return null;
  const wire = meanOver(distance, parting.level);
  if (wire < LEAST || wire < LEAST_TIMES * own) return null;
  const level = Math.max(SHARE * wire, SURE_TIMES * own);
  const patch = patchAtRim(maskOver(distance, level));
  if (patch === null) return null;
  const points = rimToRim(patch);
  return points === null ? null : { points, contrast: wire / own };
}

/** Distance of each pixel's colour from the ground's, and how much the ground itself differs, root mean square. */
function fromGround(small: SmallColours): { readonly distance: GreyImage; readonly own: number } | null {
  const [one, two] = shares(small);
  const { widthPx, heightPx } = one;
  const votes = new Uint32Array(BINS * BINS);
  const bin = (v: number): number => Math.max(1, Math.min(BINS - 2, Math.floor(v / BIN + BINS / 2)));
  for (let i = 0; i < one.data.length; i++) votes[bin(two.data[i]!) * BINS + bin(one.data[i]!)]! += 1;
  let best = 0;
  let at = 0;
  for (let y = 1; y < BINS - 1; y++)
    for (let x = 1; x < BINS - 1; x++) {
      let sum = 0;
      for (let j = -1; j <= 1; j++) for (let i = -1; i <= 1; i++) sum += votes[(y + j) * BINS + x + i]!;
      if (sum > best) [best, at] = [sum, y * BINS + x];
    }
  let [a, b] = [((at % BINS) + 0.5 - BINS / 2) * BIN, (Math.floor(at / BINS) + 0.5 - BINS / 2) * BIN];
  let squares = 0;
  for (let round = 0; round < 3; round++) {
    let [n, sa, sb] = [0, 0, 0];
    squares = 0;
    for (let i = 0; i < one.data.length; i++) {
      const [da, db] = [one.data[i]! - a, two.data[i]! - b];
      const d = da * da + db * db;
      if (d > GROUND_NEAR * GROUND_NEAR) continue;
      n += 1;
      sa += da;
      sb += db;
      squares += d;
    }
    if (n === 0) return null;
    a += sa / n;
    b += sb / n;
    squares /= n;
  }
  const distance = newGrey(widthPx, heightPx);
  for (let i = 0; i < one.data.length; i++)
    distance.data[i] = Math.sqrt((one.data[i]! - a) ** 2 + (two.data[i]! - b) ** 2);
  return { distance, own: Math.max(0.002, Math.sqrt(squares)) };
}

/** Red less blue, and green less both, as shares of the whole light; smoothed with a 5-tap binomial. */
function shares({ widthPx, heightPx, rgb }: SmallColours): readonly [GreyImage, GreyImage] {
  const [one, two] = [newGrey(widthPx, heightPx), newGrey(widthPx, heightPx)];
  for (let i = 0, at = 0; i < one.data.length; i++, at += 3) {
    const r = rgb[at]!;
    const g = rgb[at + 1]!;
    const b = rgb[at + 2]!;
    const whole = r + g + b + DARK;
    one.data[i] = (r - b) / whole;
    two.data[i] = (g - (r + b) / 2) / whole;
  }
  return [binomial(one), binomial(two)];
}

function meanOver({ data }: GreyImage, level: number): number {
  let [n, sum] = [0, 0];
  for (const v of data)
    if (v > level) {
      n += 1;
      sum += v;
    }
  return n === 0 ? 0 : sum / n;
}

/** The largest patch, if it reaches the rim of the picture; holes closed. */
function patchAtRim(mask: Mask): Mask | null {
  const parts = componentsOf(mask, 4);
  const [largest] = parts.list;
  if (!largest?.atEdge || largest.areaPx < LEAST_AREA * mask.data.length) return null;
  return fillHoles(maskOfComponent(parts, largest.label));
}

/** The stretch of a patch's outline that runs through the picture; null when there are several. */
function rimToRim(patch: Mask): Point[] | null {
  const { widthPx, heightPx, data } = patch;
  const first = data.indexOf(1);
  if (first < 0) return null;
  const ring = outerContour(patch, [first % widthPx, Math.floor(first / widthPx)], 4);
  const hugs = ([x, y]: Point): boolean => Math.min(x, y, widthPx - x, heightPx - y) <= RIM_PX;
  const start = ring.findIndex(hugs);
  if (start < 0) return null;
  let best: Point[] = [];
  let run: Point[] = [];
  let free = 0;
  for (let k = 1; k <= ring.length; k++) {
    const p = ring[(start + k) % ring.length]!;
    if (!hugs(p)) {
      run.push(p);
      free += 1;
      continue;
    }
    if (run.length > best.length) best = run;
    run = [];
  }
  return best.length < ONE_STRETCH * free ? null : best;
}
