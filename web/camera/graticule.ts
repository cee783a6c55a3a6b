/** One tick of the graticule: distance from the cross, px, and its rank. */
export interface Tick {
  /** Signed, px from the middle. */
  readonly at: number;
  readonly rank: "small" | "half" | "whole";
  /** Shown at whole ticks; empty elsewhere. */
  readonly label: string;
}
export interface Graticule {
  readonly x: readonly Tick[];
  readonly y: readonly Tick[];
  /** "mm" or "px". */
  readonly unit: string;
}

/** Ticks closer than this share of the picture's width run into each other at arm's length. @source common practice, no source */
const CLOSEST = 1 / 120;

/** 1, 2 or 5 times a power of ten, at least so large. */
function roundUp(least: number): number {
  const power = 10 ** Math.floor(Math.log10(least));
  return [1, 2, 5, 10].map((m) => m * power).find((v) => v >= least * 0.999999) ?? 10 * power;
}

/**
 * Ticks along both lines of the cross, in mm where the pixels per mm are known and in px otherwise; each direction by
 * its own scale.
 */
export function graticuleOf(
  size: { readonly widthPx: number; readonly heightPx: number },
  pxPerMm: { readonly x: number; readonly y: number } | null,
): Graticule {
  const perUnit = pxPerMm ?? { x: 1, y: 1 };
  const step = roundUp((size.widthPx * CLOSEST) / perUnit.x);
  const along = (lengthPx: number, per: number): readonly Tick[] => {
    const most = Math.floor(lengthPx / 2 / (step * per));
    return Array.from({ length: 2 * most + 1 }, (_, i): Tick => {
      const n = i - most;
      const rank = n % 10 === 0 ? "whole" : n % 5 === 0 ? "half" : "small";
      const value = Math.abs(n) * step;
      return {
        at: n * step * per,
        rank,
        label: rank === "whole" && n !== 0 ? String(Number(value.toPrecision(6))) : "",
      };
    }).filter((tick) => tick.at !== 0);
  };
  return {
    x: along(size.widthPx, perUnit.x),
    y: along(size.heightPx, perUnit.y),
    unit: pxPerMm === null ? "px" : "mm",
  };
}
