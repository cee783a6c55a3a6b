import { MeasureError } from "../../../model/measure/measure-error.ts";
import {
  readProfile,
  type MicrometerReading,
  type ProfileReading,
  type ScaleProfile,
} from "../../../model/measure/profile.ts";
import type { App } from "../app.svelte.ts";

const SETTING = "profiles";

/** What is typed into the form of a new profile. */
export interface ProfileDraft {
  readonly name: string;
  readonly micrometer: string;
  /** Length used on the stage micrometer, mm. */
  readonly lengthMm: string;
  /** Its standard uncertainty, µm. */
  readonly lengthUUm: string;
  /** Readings of that length, px, parted by spaces. */
  readonly x: string;
  readonly y: string;
  /** Days, "YYYY-MM-DD". */
  readonly calibratedOn: string;
  readonly dueOn: string;
  readonly by: string;
}

/** A field of the form and what is wrong with it. */
export interface DraftFault {
  readonly field: keyof ProfileDraft;
  readonly sentence: string;
}
export type DraftReading =
  | { readonly kind: "incomplete"; readonly faults: readonly DraftFault[] }
  | {
      readonly kind: "read";
      readonly readings: readonly MicrometerReading[];
      readonly result: ProfileReading;
      readonly relativeU: number;
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

/** Reads the form: the readings with their mean and uncertainty, or what each field still needs. */
export function readDraft(draft: ProfileDraft): DraftReading {
  const faults: DraftFault[] = [];
  const length = typedNumber(draft.lengthMm);
  const u = typedNumber(draft.lengthUUm);
  if (length === null || length <= 0)
    faults.push({ field: "lengthMm", sentence: "Type the length in mm, above zero." });
  if (u === null || u < 0)
    faults.push({ field: "lengthUUm", sentence: "Type the standard uncertainty in µm, from its certificate." });
  for (const field of ["x", "y"] as const)
    if (typedList(draft[field]).some((value) => value === null || value <= 0))
      faults.push({ field, sentence: "Type pixels as numbers parted by spaces, such as 1203.4 1204.1 1202.8." });
  const lengthMm = length ?? 0;
  const readings = (["x", "y"] as const).flatMap((direction) =>
    typedList(draft[direction]).map((px) => ({ lengthMm, px: px ?? 0, direction })),
  );
  if (faults.length > 0) return { kind: "incomplete", faults };
  const relativeU = (u ?? 0) / 1000 / lengthMm;
  try {
    return {
      kind: "read",
      readings,
      relativeU,
      result: readProfile(readings, { number: draft.micrometer, relativeU }),
    };
  } catch (error) {
    if (!(error instanceof MeasureError)) throw error;
    return { kind: "incomplete", faults: [{ field: "x", sentence: error.message }] };
  }
}

/** The objective-and-camera profiles of the bench, kept in its settings. */
export class Profiles {
  list = $state.raw<readonly ScaleProfile[]>([]);
  readonly #app: App;

  constructor(app: App) {
    this.#app = app;
  }

  async load(): Promise<void> {
    this.list = (await this.#app.bench.getSetting<readonly ScaleProfile[]>(SETTING)) ?? [];
  }

  /** @returns what is missing; empty when the profile was stored. @throws StoreError. */
  async add(draft: ProfileDraft): Promise<readonly DraftFault[]> {
    const read = readDraft(draft);
    const faults: DraftFault[] = read.kind === "incomplete" ? [...read.faults] : [];
    if (draft.name.trim() === "")
      faults.push({ field: "name", sentence: "Name the objective and camera, such as 2× with camera A." });
    if (draft.calibratedOn === "") faults.push({ field: "calibratedOn", sentence: "Say when it was read." });
    if (draft.dueOn === "" || draft.dueOn <= draft.calibratedOn)
      faults.push({ field: "dueOn", sentence: "Say when it is due again, after the day it was read." });
    if (read.kind === "incomplete" || faults.length > 0) return faults;
    const profile: ScaleProfile = {
      id: this.#app.surroundings.newId(),
      name: draft.name.trim(),
      pxPerMm: read.result.pxPerMm,
      readings: read.readings,
      micrometer: { number: draft.micrometer.trim(), relativeU: read.relativeU },
      by: draft.by.trim() || this.#app.reader,
      calibratedAt: draft.calibratedOn,
      dueAt: draft.dueOn,
    };
    await this.#keep([...this.list, profile]);
    return [];
  }

  /** Photographs keep the scale they were given; only the choice goes. */
  async remove(id: string): Promise<void> {
    await this.#keep(this.list.filter((profile) => profile.id !== id));
  }

  async #keep(list: readonly ScaleProfile[]): Promise<void> {
    await this.#app.bench.setSetting(SETTING, list);
    this.list = list;
  }
}
