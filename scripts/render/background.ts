import { boxBlur } from "./blur.ts";
import { fbm, hash01, noise } from "./noise.ts";

export interface BackgroundSpec {
  /** Linear reflected light of the card. */
  readonly grey: number;
  /** Unevenness, 0–1. */
  readonly blotch: number;
  /** Grain of a card in focus, 0–1. */
  readonly grain: number;
  readonly tint: readonly [number, number, number];
  /** Light falling off across the card: toward which side it is brighter (degrees, 0 = right, counter-clockwise), 0–1. */
  readonly lean?: { readonly towardDeg: number; readonly strength: number };
  /** Fibres or brush lines of the card: direction, spacing as a share of the picture's width, strength 0–1. */
  readonly fibre?: { readonly deg: number; readonly pitch: number; readonly strength: number };
}

/** A neutral card or dark, out-of-focus ground. @returns linear RGB, 3 per pixel. */
export function drawBackground(width: number, height: number, spec: BackgroundSpec, seed: number): Float32Array {
  const out = new Float32Array(3 * width * height);
  // The clouds are soft, so they are drawn on a coarse grid and read between its points.
  const step = Math.max(1, Math.round(width / 300));
  const cols = Math.ceil(width / step) + 2;
  const rows = Math.ceil(height / step) + 2;
  const unit = width / 5 / step;
  const clouds = new Float32Array(cols * rows);
  for (let j = 0; j < rows; j++) for (let i = 0; i < cols; i++) clouds[j * cols + i] = fbm(i / unit, j / unit, seed, 2);
  const towardRad = ((spec.lean?.towardDeg ?? 0) * Math.PI) / 180;
  const lean = spec.lean && { x: Math.cos(towardRad), y: Math.sin(towardRad), strength: spec.lean.strength };
  const fibreRad = ((spec.fibre?.deg ?? 0) * Math.PI) / 180;
  const across = Math.max(1.5, (spec.fibre?.pitch ?? 0) * width);
  const fibre = spec.fibre && {
    x: Math.cos(fibreRad) / (across / 2),
    y: Math.sin(fibreRad) / (across / 2),
    strength: spec.fibre.strength,
  };
  for (let j = 0; j < height; j++)
    for (let i = 0; i < width; i++) {
      const x = i / step;
      const y = j / step;
      const from = Math.floor(y) * cols + Math.floor(x);
      const a = x - Math.floor(x);
      const b = y - Math.floor(y);
      const top = clouds[from]! * (1 - a) + clouds[from + 1]! * a;
      const low = clouds[from + cols]! * (1 - a) + clouds[from + cols + 1]! * a;
      const fleck = spec.grain > 0 ? (hash01(i, j, seed + 3) - 0.5) * spec.grain : 0;
      let v = spec.grey * Math.max(0.05, 1 + spec.blotch * (top * (1 - b) + low * b) + fleck);
      if (lean) v *= Math.max(0.08, 1 + lean.strength * (lean.x * (i / width - 0.5) - lean.y * (j / width - 0.5)) * 2);
      if (fibre)
        v *= 1 + fibre.strength * noise((i * fibre.x + j * fibre.y) / 14, j * fibre.x - i * fibre.y, seed + 31);
      const at = 3 * (j * width + i);
      for (let c = 0; c < 3; c++) out[at + c] = v * spec.tint[c]!;
    }
  return out;
}

/** Darkens the card under and beside the wire. @param coverage – of the wire, 0–1 per pixel. */
export function castShadow(
  background: Float32Array,
  coverage: Float32Array,
  width: number,
  height: number,
  shiftX: number,
  shiftY: number,
  softness: number,
  strength: number,
): void {
  const soft = boxBlur(coverage, width, height, 1, softness, 2);
  for (let j = 0; j < height; j++)
    for (let i = 0; i < width; i++) {
      const x = Math.min(width - 1, Math.max(0, Math.round(i - shiftX)));
      const y = Math.min(height - 1, Math.max(0, Math.round(j - shiftY)));
      const keep = 1 - strength * soft[y * width + x]!;
      const at = 3 * (j * width + i);
      for (let c = 0; c < 3; c++) background[at + c]! *= keep;
    }
}
