import type { FaceFit } from "../../break/wire-break.ts";
import type { GreyImage } from "../pixels/grey.ts";
import type { Laying } from "./agreement.ts";
import { evenFace, wireCover } from "./even-face.ts";
import type { FacePicture } from "./flat-face.ts";
import { FLAT_RADIUS, flatFace } from "./flat-face.ts";
import { layFaces, layFrom, WAVELENGTHS, type Laid } from "./lay-faces.ts";
import { ripplesOf } from "./ripples.ts";
import { readFaces, type FaceReading } from "./verdict.ts";

/** How the mirrored take-up face lies on the machine face, free of pixels. */
export type FaceLaying = Pick<FaceFit, "turnDeg" | "shiftD" | "scale">;

export interface FaceComparison extends FaceReading {
  readonly laying: FaceLaying;
}

export interface CompareOptions {
  /** Where a hand laid it: only the neighbourhood of this place is searched. */
  readonly start?: FaceLaying;
  /** Share done, 0–1. */
  readonly onPart?: (part: number) => void;
}

/** Light to dark spread of a face, the same for a picture and its mirror image: names one of two faces as the first. */
const spread = (flat: GreyImage): number => flat.data.reduce((sum, v) => sum + v * v, 0);

/**
 * Lays the take-up face, mirrored, over the machine face and says how well they agree. Hills face valleys and the light
 * of two photographs differs, so brightness is not compared: edges, grains and ridges and the directions they run in are.
 *
 * It does not matter which end is which: the comparison always starts from the same of the two faces, and exchanging
 * them gives the inverse laying and the same score.
 *
 * @throws MatingError no-outline, too-small, outside, blank.
 */
export function compareFaces(
  machine: FacePicture,
  takeUp: FacePicture,
  { start, onPart = () => undefined }: CompareOptions = {},
): FaceComparison {
  const faces = [flatFace(machine, false), flatFace(takeUp, false)] as const;
  const exchanged = spread(faces[1]) > spread(faces[0]);
  const back = exchanged ? machine : takeUp;
  const cover = wireCover();
  const first = ripplesOf(evenFace(exchanged ? faces[1] : faces[0], cover), WAVELENGTHS);
  onPart(0.2);
  const second = ripplesOf(evenFace(flatFace(back, true), cover), WAVELENGTHS);
  onPart(0.4);
  const further = (part: number): void => {
    onPart(0.4 + 0.6 * part);
  };
  const from = start === undefined ? null : exchanged ? seenFromBack(pixels(start)) : pixels(start);
  const laid: Laid = from === null ? layFaces(first, second, further) : layFrom(first, second, from);
  const laying = exchanged ? seenFromBack(laid.laying) : laid.laying;
  return { ...readFaces(laid, first, second), laying: shares(laying) };
}

const pixels = ({ turnDeg, shiftD, scale }: FaceLaying): Laying => ({
  turnDeg,
  scale,
  dx: shiftD[0] * 2 * FLAT_RADIUS,
  dy: shiftD[1] * 2 * FLAT_RADIUS,
});

const shares = ({ turnDeg, scale, dx, dy }: Laying): FaceLaying => ({
  turnDeg,
  scale,
  shiftD: [dx / (2 * FLAT_RADIUS), dy / (2 * FLAT_RADIUS)],
});

/** The same laying with the part of the two faces exchanged: undone, and seen in the mirror. */
export function seenFromBack({ turnDeg, scale, dx, dy }: Laying): Laying {
  const turn = (turnDeg * Math.PI) / 180;
  const x = (dx * Math.cos(turn) + dy * Math.sin(turn)) / scale;
  const y = (dy * Math.cos(turn) - dx * Math.sin(turn)) / scale;
  return { turnDeg, scale: 1 / scale, dx: x, dy: -y };
}
