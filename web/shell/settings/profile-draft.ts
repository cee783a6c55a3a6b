import { MeasureError } from "../../../model/measure/measure-error.ts";
import {
  readProfile,
  type Calibration,
  type MicrometerReading,
  type ProfileReading,
  type ScaleProfile,
} from "../../../model/measure/profile.ts";

/** What is typed and drawn for a calibration. */
export interface ProfileDraft {
  readonly objective: string;
  readonly zoom: string;
  readonly camera: string;
  /** Size of the photographs, "1920 × 1080". */
  readonly picture: string;
  readonly micrometer: string;
  /** Length used on the stage micrometer, mm. */
  readonly lengthMm: string;
  /** Its standard uncertainty, µm. */
  readonly lengthUUm: string;
  /** Smallest step of one reading, px. */
  readonly resolutionPx: string;
  /** Readings of that length, px, parted by spaces. */
  readonly x: string;
  readonly y: string;
  /** Days, "YYYY-MM-DD". */
  readonly calibratedOn: string;
  readonly dueOn: string;
  readonly by: string;
  /** Readings drawn on a photograph of the stage micrometer. */
  readonly drawn: readonly MicrometerReading[];
  readonly photograph: { readonly fileName: string; readonly hash: string } | null;
}

export type DraftField = Exclude<keyof ProfileDraft, "drawn" | "photograph">;
/** A field of the form and what is wrong with it. */
export interface DraftFault {
  readonly field: DraftField;
  readonly sentence: string;
}
export type DraftReading =
  | { readonly kind: "incomplete"; readonly faults: readonly DraftFault[] }
  | {
      readonly kind: "read";
      readonly readings: readonly MicrometerReading[];
      readonly result: ProfileReading;
      readonly relativeU: number;
      readonly resolutionPx: number;
    };

/** A number as typed, with a decimal point or comma; null when it is none. */
function typedNumber(text: string): number | null {
  const value = Number(text.trim().replace(",", "."));
  return text.trim() === "" || !Number.isFinite(value) ? null : value;
}
const typedList = (text: string): readonly (number | null)[] =>
  text
    .split(/[\s;]+/)
    .filter((part) => part !== "")
    .map(typedNumber);

/** "1920 × 1080" or "1920x1080" in px; null when it is not a size. */
export function typedSize(text: string): readonly [number, number] | null {
  const match = /^\s*(\d{1,6})\s*[x×X*]\s*(\d{1,6})\s*$/.exec(text);
  const [width, height] = [Number(match?.[1] ?? 0), Number(match?.[2] ?? 0)];
  return width > 0 && height > 0 ? [width, height] : null;
}

/** Reads the form: the readings with their mean and uncertainty, or what each field still needs. */
export function readDraft(draft: ProfileDraft): DraftReading {
  const faults: DraftFault[] = [];
  const length = typedNumber(draft.lengthMm);
  const u = typedNumber(draft.lengthUUm);
  const step = draft.resolutionPx.trim() === "" ? 0 : typedNumber(draft.resolutionPx);
  if (length === null || length <= 0)
    faults.push({ field: "lengthMm", sentence: "Type the length in mm, above zero." });
  if (u === null || u < 0)
    faults.push({ field: "lengthUUm", sentence: "Type the standard uncertainty in µm, from its certificate." });
  if (step === null || step < 0)
    faults.push({ field: "resolutionPx", sentence: "Type the smallest step of a reading in px, such as 1 or 0.1." });
  for (const field of ["x", "y"] as const)
    if (typedList(draft[field]).some((value) => value === null || value <= 0))
      faults.push({ field, sentence: "Type pixels as numbers parted by spaces, such as 1203.4 1204.1 1202.8." });
  if (faults.length > 0) return { kind: "incomplete", faults };
  const lengthMm = length ?? 0;
  const typed = (["x", "y"] as const).flatMap((direction) =>
    typedList(draft[direction]).map((px): MicrometerReading => ({ lengthMm, px: px ?? 0, direction })),
  );
  const readings = [...draft.drawn, ...typed];
  const relativeU = (u ?? 0) / 1000 / lengthMm;
  const resolutionPx = step ?? 0;
  try {
    const result = readProfile(readings, { number: draft.micrometer, relativeU }, resolutionPx);
    return { kind: "read", readings, relativeU, resolutionPx, result };
  } catch (error) {
    if (!(error instanceof MeasureError)) throw error;
    return { kind: "incomplete", faults: [{ field: "x", sentence: error.message }] };
  }
}

/** "2× · zoom 1.5 · camera A" from the parts that are given. */
export const nameOf = ({ objective, zoom, camera }: Pick<ProfileDraft, "objective" | "zoom" | "camera">): string =>
  [objective.trim(), zoom.trim() === "" ? "" : `zoom ${zoom.trim()}`, camera.trim()].filter(Boolean).join(" · ");

/** The calibration of a complete draft, or what is missing. @param reader – stands for it when nobody is named. */
export function calibrationOf(
  draft: ProfileDraft,
  reader: string,
): { readonly faults: readonly DraftFault[]; readonly calibration: Calibration | null } {
  const read = readDraft(draft);
  const faults: DraftFault[] = read.kind === "incomplete" ? [...read.faults] : [];
  const picturePx = typedSize(draft.picture);
  if (picturePx === null)
    faults.push({ field: "picture", sentence: "Say the size of the photographs in px, such as 1920 × 1080." });
  if (draft.calibratedOn === "") faults.push({ field: "calibratedOn", sentence: "Say when it was read." });
  if (draft.dueOn === "" || draft.dueOn <= draft.calibratedOn)
    faults.push({ field: "dueOn", sentence: "Say when it is due again, after the day it was read." });
  if (read.kind === "incomplete" || picturePx === null || faults.length > 0) return { faults, calibration: null };
  const { pxPerMm, pxPerMmY } = read.result;
  return {
    faults: [],
    calibration: {
      pxPerMm,
      ...(pxPerMmY === null ? {} : { pxPerMmY }),
      readings: read.readings,
      micrometer: { number: draft.micrometer.trim(), relativeU: read.relativeU },
      resolutionPx: read.resolutionPx,
      picturePx,
      ...(draft.photograph === null ? {} : { photograph: draft.photograph }),
      by: draft.by.trim() || reader,
      calibratedAt: draft.calibratedOn,
      dueAt: draft.dueOn,
    },
  };
}

/** An empty form for today; of a profile that is read again, its set-up and micrometer. @param today – "YYYY-MM-DD". */
export function emptyDraft(today: string, by: string, again: ScaleProfile | null): ProfileDraft {
  const nextYear = `${Number(today.slice(0, 4)) + 1}${today.slice(4)}`;
  const lengthMm = again?.readings[0]?.lengthMm ?? 1;
  return {
    objective: again?.setUp?.objective ?? again?.name ?? "",
    zoom: again?.setUp?.zoom ?? "",
    camera: again?.setUp?.camera ?? "",
    picture: again?.picturePx === undefined ? "" : again.picturePx.join(" × "),
    micrometer: again?.micrometer.number ?? "",
    lengthMm: String(lengthMm),
    lengthUUm: again === null ? "0.5" : String(Number((again.micrometer.relativeU * lengthMm * 1000).toPrecision(4))),
    resolutionPx: String(again?.resolutionPx ?? 1),
    x: "",
    y: "",
    calibratedOn: today,
    dueOn: nextYear.endsWith("-02-29") ? nextYear.replace("-29", "-28") : nextYear,
    by,
    drawn: [],
    photograph: null,
  };
}
