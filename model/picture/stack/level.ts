import { MeasureError } from "../../measure/measure-error.ts";
import { linear, minus, reading } from "../../measure/uncertain.ts";
import type { Quantity } from "../../measure/uncertain.ts";
import type { HeightMap } from "./height-map.ts";
import type { HeightCell, Zone } from "./zone.ts";
import { cellsIn, middleOf } from "./zone.ts";

/** Cells share their curves with their neighbours (3 × 3), so so many count as one reading. */
export const CELLS_PER_READING = 9;
/** What all heights of an area may be off together, as a share of the step: texture on crests or in hollows. @source own trial on rendered series */
const SHARED_OFFSET = 0.15;
const FEWEST_CELLS = 4;

/** A height in µm with its sources. @param name – of the place; the same place is the same error. */
export function heightQuantity(map: HeightMap, photographId: string, name: string, um: number, u: number): Quantity {
  const step = map.stepUm;
  const own = reading(`heights:${photographId}:${name}`, um, u);
  const relative = reading(`focus-step:${photographId}`, step.value, step.u);
  return linear(um, [
    [own, 1],
    [relative, um / step.value],
  ]);
}

/**
 * Level of a part of the face: the median of its heights.
 *
 * @returns µm toward the lens from the focus of the first frame. Sources: the readings of this area, an offset all
 * cells of an area may share (0.15 step), the focus step.
 * @throws MeasureError too-few.
 */
export function levelOf(map: HeightMap, photographId: string, zone: Zone): Quantity {
  const cells = cellsIn(map, zone);
  if (cells.length < FEWEST_CELLS)
    throw new MeasureError("too-few", "Too few places with a height lie there. Pick a larger or rougher area.");
  const sorted = cells.map((c) => c.um).sort((a, b) => a - b);
  const middle = sorted[sorted.length >> 1]!;
  const [cx, cy] = middleOf(zone);
  return heightQuantity(
    map,
    photographId,
    `${cx.toFixed(0)},${cy.toFixed(0)}`,
    middle,
    uncertaintyOf(map, cells, middle),
  );
}

/** Of the median: √(π/2) times that of a mean, of as many readings as the area holds. */
function uncertaintyOf(map: HeightMap, cells: readonly HeightCell[], middle: number): number {
  const readings = Math.max(1, cells.length / CELLS_PER_READING);
  const deviations = cells.map((c) => Math.abs(c.um - middle)).sort((a, b) => a - b);
  const spread = 1.4826 * deviations[deviations.length >> 1]!;
  const stated = cells.reduce((sum, c) => sum + c.u, 0) / cells.length;
  const random = Math.sqrt(Math.PI / 2 / readings) * Math.max(spread, stated);
  return Math.hypot(random, SHARED_OFFSET * Math.abs(map.stepUm.value));
}

/** How far area b lies above area a, µm. @throws MeasureError too-few. */
export const stepHeight = (map: HeightMap, photographId: string, a: Zone, b: Zone): Quantity =>
  minus(levelOf(map, photographId, b), levelOf(map, photographId, a));

/** The ring round a hole that is its rim, and the part inside it that is its floor, in sizes of the hole. */
const RIM = [1.15, 1.5] as const;
const FLOOR_SHARE = 0.1;

export interface HoleDepth {
  /** µm, rim to floor. */
  readonly depth: Quantity;
  /** Share of the inside of the hole that has a height, 0–1. */
  readonly seen: number;
}

/**
 * Depth of a hole: level of the metal round its mouth less that of its deepest tenth.
 *
 * The deepest tenth is read as the median of the deepest fifth, so that single wrong heights do not deepen it. Where
 * less than a third of the inside has a height the floor is not seen, and the depth is only a least one.
 *
 * @param hole – its outline, px.
 * @throws MeasureError too-few.
 */
export function holeDepth(map: HeightMap, photographId: string, hole: Zone): HoleDepth {
  const wide = cellsIn(map, hole, RIM[1]);
  const within = new Set(cellsIn(map, hole, RIM[0]).map(keyOf));
  const rim = wide.filter((c) => !within.has(keyOf(c)));
  const inside = cellsIn(map, hole, 0.92);
  if (rim.length < FEWEST_CELLS || inside.length < FEWEST_CELLS)
    throw new MeasureError("too-few", "Too few places in and around the hole have a height. Focus further down.");
  const deepest = inside.sort((a, b) => a.um - b.um).slice(0, Math.max(FEWEST_CELLS, 2 * FLOOR_SHARE * inside.length));
  const floorUm = medianOf(deepest);
  const rimUm = medianOf(rim);
  const floor = heightQuantity(map, photographId, "floor", floorUm, uncertaintyOf(map, deepest, floorUm));
  const mouth = heightQuantity(map, photographId, "mouth", rimUm, uncertaintyOf(map, rim, rimUm));
  return { depth: minus(mouth, floor), seen: inside.length / Math.max(1, cellCount(map, hole)) };
}

const keyOf = (c: HeightCell): string => `${c.x},${c.y}`;
const medianOf = (cells: readonly HeightCell[]): number =>
  cells.map((c) => c.um).sort((a, b) => a - b)[cells.length >> 1]!;

/** How many cells lie in a zone, with or without a height. */
function cellCount(map: HeightMap, zone: Zone): number {
  const all = { ...map, um: new Float32Array(map.um.length), u: new Float32Array(map.u.length) };
  return cellsIn(all, zone, 0.92).length;
}
