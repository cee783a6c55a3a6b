import type { End, EndSide, Photograph, WireBreak } from "../../model/break/wire-break.ts";
import { wireFrame, type WireFrame } from "../../model/measure/wire-frame.ts";
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
const MARGIN = 1.18;

interface Read {
  readonly perMm: number | null;
  readonly diameterPx: number | null;
  readonly placing: Omit<Placing, "pxPerUnit">;
}

function readOf({ wireBreak, side, photograph }: StandingEnd): Read | null {
  if (photograph === null) return null;
  const frame = wireFrame(wireBreak.ends[side], photograph, wireBreak);
  return {
    perMm: pxPerMmOf(photograph),
    diameterPx: frame.diameterPx?.value ?? null,
    placing: placed(photograph, frame),
  };
}

/** End-on the wire lies in the middle; from the side its axis does, and the whole picture is in the frame. */
function placed(photograph: Photograph, { diameterPx, centre, axisDeg, centreLine }: WireFrame): Read["placing"] {
  const { widthPx, heightPx, turnDeg, view } = photograph;
  if (view === "end_on" && centre !== null && diameterPx !== null) {
    const wanted = MARGIN * diameterPx.value;
    return { middle: [centre.x.value, centre.y.value], wantedPx: [wanted, wanted] };
  }
  const onItsSide = Math.abs(turnDeg % 180) === 90;
  const wantedPx = onItsSide ? ([heightPx, widthPx] as const) : ([widthPx, heightPx] as const);
  const middle = [widthPx / 2, heightPx / 2] as const;
  if (axisDeg === null || centreLine === null) return { middle, wantedPx };
  const angle = (axisDeg.value * Math.PI) / 180;
  const [ux, uy] = [Math.cos(angle), Math.sin(angle)];
  const [dx, dy] = [middle[0] - centreLine.x.value, middle[1] - centreLine.y.value];
  const along = dx * ux + dy * uy;
  return { middle: [centreLine.x.value + along * ux, centreLine.y.value + along * uy], wantedPx };
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
