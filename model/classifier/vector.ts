import type { Observations } from "../evidence/observations.ts";
import type { FaceNumbers } from "./face-columns.ts";
import { FACE_COLUMNS, faceColumnValues } from "./face-columns.ts";
import { MARK_COLUMNS } from "./mark-columns.ts";

/** Names of all numbers of a break, in the order of `vectorOf`. */
export const COLUMN_NAMES: readonly string[] = [...MARK_COLUMNS, ...FACE_COLUMNS].map((c) => c.name);

const SAYS = new Map([...MARK_COLUMNS, ...FACE_COLUMNS].map((c) => [c.name, c.says]));

/** A column in trade words. */
export const columnSays = (name: string): string => SAYS.get(name) ?? name;

/**
 * The numbers of a break. Swapping the ends changes nothing.
 *
 * @param faces – numbers of the end-on views, one per end that has one; in any order.
 * @returns one value per `COLUMN_NAMES`; NaN is missing.
 */
export function vectorOf(observations: Observations, faces: readonly FaceNumbers[]): Float32Array {
  return Float32Array.from([...MARK_COLUMNS.map((c) => c.of(observations)), ...faceColumnValues(faces)]);
}
