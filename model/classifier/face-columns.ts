import { FACE_NUMBERS } from "../picture/face/describe-face.ts";

/** Numbers of one face, one per `FACE_NUMBERS`. */
export type FaceNumbers = Float32Array;

export interface FaceColumn {
  readonly name: string;
  readonly says: string;
}

/** Of two faces in no order: their mean, and how far apart they are. */
export const FACE_COLUMNS: readonly FaceColumn[] = FACE_NUMBERS.flatMap(({ name, says }) => [
  { name: `face.${name}`, says },
  { name: `face.${name}.gap`, says: `${says}: difference between the ends` },
]);

/** @param faces – of the ends whose face is seen; none, one or two. */
export function faceColumnValues(faces: readonly FaceNumbers[]): number[] {
  const [a, b] = faces;
  return FACE_NUMBERS.flatMap((_, k) => {
    if (a === undefined) return [NaN, NaN];
    if (b === undefined) return [a[k]!, NaN];
    return [(a[k]! + b[k]!) / 2, Math.abs(a[k]! - b[k]!)];
  });
}
