import type { End, EndSide, Photograph, WireBreak } from "../../model/break/wire-break.ts";
import { wireFrame } from "../../model/measure/wire-frame.ts";
import { pxPerMmOf } from "../bench/scale-words.ts";

export type CompareView = "end_on" | "side";

/** An end as it stands in the comparison; null where it has no photograph of this view. */
export interface StandingEnd {
  readonly wireBreak: WireBreak;
  readonly side: EndSide;
  readonly photograph: Photograph | null;
}

/** The photograph that shows an end in this view: the first one. */
export const photographOf = ({ photographs }: End, view: CompareView): Photograph | null =>
  photographs.find((p) => (view === "end_on" ? p.view === "end_on" : p.view === "side_0")) ??
  photographs.find((p) => view === "side" && p.view.startsWith("side_")) ??
  null;

/** Millimetres where every picture has a scale; else the wire diameter, every wire drawn equally thick. */
export type ScaleUnit = "mm" | "D";

/** Where a picture lies in its frame. */
export interface Placing {
  /** Pixels of the photograph per unit of the common scale; null = neither known, it fills its frame. */
  readonly pxPerUnit: number | null;
  /** Pixel of the photograph in the middle of the frame. */
  readonly middle: readonly [number, number];
  /** What has to be in the frame, px of the photograph as turned: width, height. */
  readonly wantedPx: readonly [number, number];
}

export interface CommonScale {
  readonly unit: ScaleUnit;
  /** Height of every frame in units. */
  readonly reach: number;
  readonly placings: readonly (Placing | null)[];
}

/** Of the wire diameter, round the wire in an end-on view. */
const MARGIN = 1.3;

interface Read {
  readonly perMm: number | null;
  readonly diameterPx: number | null;
  readonly placing: Omit<Placing, "pxPerUnit">;
}

function readOf({ wireBreak, side, photograph }: StandingEnd): Read | null {
  if (photograph === null) return null;
  const { diameterPx, centre } = wireFrame(wireBreak.ends[side], photograph, wireBreak);
  const { widthPx, heightPx } = photograph;
  const onItsSide = Math.abs(photograph.turnDeg % 180) === 90;
  const round = photograph.view === "end_on" && centre !== null && diameterPx !== null;
  const wantedPx = round
    ? ([MARGIN * diameterPx.value, MARGIN * diameterPx.value] as const)
    : onItsSide
      ? ([heightPx, widthPx] as const)
      : ([widthPx, heightPx] as const);
  return {
    perMm: pxPerMmOf(photograph),
    diameterPx: diameterPx?.value ?? null,
    placing: {
      middle: round ? [centre.x.value, centre.y.value] : [widthPx / 2, heightPx / 2],
      wantedPx,
    },
  };
}

/**
 * One scale for all ends of a comparison, so that a hole twice as wide is drawn twice as wide.
 *
 * @param aspect – width of a frame over its height.
 * @returns placings in the order of the ends.
 */
export function commonScale(ends: readonly StandingEnd[], aspect: number): CommonScale {
  const reads = ends.map(readOf);
  const there = reads.filter((r) => r !== null);
  const count = (of: (r: Read) => number | null) => there.filter((r) => of(r) !== null).length;
  // With a picture that has no scale, whatever more of them know is used for the others.
  const unit: ScaleUnit = count((r) => r.perMm) >= count((r) => r.diameterPx) ? "mm" : "D";
  const placings = reads.map((r): Placing | null =>
    r === null ? null : { ...r.placing, pxPerUnit: unit === "mm" ? r.perMm : r.diameterPx },
  );
  const reaches = placings.flatMap((p) => {
    if (p === null || p.pxPerUnit === null) return [];
    const [width, height] = p.wantedPx;
    return [Math.max(height, width / aspect) / p.pxPerUnit];
  });
  return { unit, reach: reaches.length === 0 ? 1 : Math.max(...reaches), placings };
}

/** Pixels of the photograph over the height of its frame, before it is looked at nearer. */
export function framePx({ pxPerUnit, wantedPx: [width, height] }: Placing, reach: number, aspect: number): number {
  return pxPerUnit === null ? Math.max(height, width / aspect) : pxPerUnit * reach;
}
