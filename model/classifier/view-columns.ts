import type { EndSide } from "../break/wire-break.ts";
import { FACE_NUMBERS } from "../picture/face/describe-face.ts";
import { FACE_COLOURS } from "../picture/face/face-colour.ts";
import { SIDE_NUMBERS } from "../picture/side-view/describe-side.ts";

/** One view of one end in numbers: of `FACE_VALUES` or of `SIDE_NUMBERS`. */
export interface ViewNumbers {
  readonly side: EndSide;
  readonly kind: "face" | "side";
  readonly values: Float32Array;
}

/** What the numbers of a face are, in order. */
export const FACE_VALUES = [...FACE_NUMBERS, ...FACE_COLOURS];

export interface ViewColumn {
  readonly name: string;
  readonly says: string;
}

/** Colours of metal and light are one number until they are set against the sound skin of the same wire. */
const isBareColour = (name: string): boolean => name === "colour.red" || name === "colour.blue";

const both = (prefix: string, numbers: readonly ViewColumn[]): ViewColumn[] =>
  numbers
    .filter(({ name }) => !isBareColour(name))
    .flatMap(({ name, says }) => [
      { name: `${prefix}.${name}`, says },
      { name: `${prefix}.${name}.gap`, says: `${says}: difference between the ends` },
    ]);

/** Of two ends in no order: the mean of what their views show, and how far apart they are. */
export const VIEW_COLUMNS: readonly ViewColumn[] = [
  ...both("face", FACE_VALUES),
  ...both("side", SIDE_NUMBERS),
  { name: "colour.red_of_face", says: "face redder than the sound skin" },
  { name: "colour.blue_of_face", says: "face bluer than the sound skin" },
];

/** @returns one value per `VIEW_COLUMNS`; NaN where no view shows it. */
export function viewColumnValues(views: readonly ViewNumbers[]): number[] {
  return [
    ...meanAndGap(views, "face", FACE_VALUES),
    ...meanAndGap(views, "side", SIDE_NUMBERS),
    colourOfFace(views, "colour.red"),
    colourOfFace(views, "colour.blue"),
  ];
}

const place = (numbers: readonly ViewColumn[], name: string): number => numbers.findIndex((n) => n.name === name);

function colourOfFace(views: readonly ViewNumbers[], name: string): number {
  const of = (kind: ViewNumbers["kind"], at: number): number =>
    mean(views.filter((v) => v.kind === kind).map((v) => v.values[at] ?? NaN));
  return of("face", place(FACE_VALUES, name)) - of("side", place(SIDE_NUMBERS, name));
}

function meanAndGap(
  views: readonly ViewNumbers[],
  kind: ViewNumbers["kind"],
  numbers: readonly ViewColumn[],
): number[] {
  const ofEnd = (side: EndSide) => views.filter((v) => v.kind === kind && v.side === side);
  const [machine, takeUp] = [ofEnd("machine"), ofEnd("takeUp")];
  return numbers.flatMap(({ name }, k) => {
    if (isBareColour(name)) return [];
    // Several side views of one end are one reading.
    const a = mean(machine.map((v) => v.values[k] ?? NaN));
    const b = mean(takeUp.map((v) => v.values[k] ?? NaN));
    return [mean([a, b]), Math.abs(a - b)];
  });
}

/** Mean of the known ones; NaN when none is known. */
function mean(values: readonly number[]): number {
  const known = values.filter((v) => !Number.isNaN(v));
  return known.length === 0 ? NaN : known.reduce((s, v) => s + v, 0) / known.length;
}
