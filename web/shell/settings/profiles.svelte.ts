import { MeasureError } from "../../../model/measure/measure-error.ts";
import { recalibrated, type ScaleProfile } from "../../../model/measure/profile.ts";
import type { App } from "../app.svelte.ts";
import { calibrationOf, nameOf, type DraftFault, type ProfileDraft } from "./profile-draft.ts";

export { readDraft, type DraftFault, type DraftField, type ProfileDraft } from "./profile-draft.ts";

const SETTING = "profiles";

/** The objective-and-camera profiles of the bench, kept in its settings. Nothing is ever taken away from them. */
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
    const name = nameOf(draft);
    const { faults, calibration } = calibrationOf(draft, this.#app.reader);
    const all = [...faults];
    if (draft.objective.trim() === "") all.unshift({ field: "objective", sentence: "Name the objective, such as 2×." });
    else if (this.list.some((p) => p.name === name && p.outOfUseAt === undefined))
      all.unshift({ field: "objective", sentence: `“${name}” is there already: calibrate it again instead.` });
    if (calibration === null || all.length > 0) return all;
    const setUp = { objective: draft.objective.trim(), zoom: draft.zoom.trim(), camera: draft.camera.trim() };
    await this.#keep([...this.list, { ...calibration, id: this.#app.surroundings.newId(), name, setUp }]);
    return [];
  }

  /** A new calibration of a profile; the one before joins its history. @returns what is missing. @throws StoreError. */
  async calibrateAgain(id: string, draft: ProfileDraft): Promise<readonly DraftFault[]> {
    const { faults, calibration } = calibrationOf(draft, this.#app.reader);
    if (calibration === null) return faults;
    try {
      await this.#keep(this.list.map((p) => (p.id === id ? recalibrated(p, calibration) : p)));
      return [];
    } catch (error) {
      if (!(error instanceof MeasureError)) throw error;
      return [{ field: "calibratedOn", sentence: error.message }];
    }
  }

  /** No longer offered; kept because photographs name it. */
  async putOutOfUse(id: string): Promise<void> {
    const outOfUseAt = this.#app.surroundings.now();
    await this.#keep(this.list.map((p) => (p.id === id ? { ...p, outOfUseAt } : p)));
  }

  async takeIntoUse(id: string): Promise<void> {
    await this.#keep(this.list.map((p) => (p.id === id ? inUse(p) : p)));
  }

  async #keep(list: readonly ScaleProfile[]): Promise<void> {
    await this.#app.bench.setSetting(SETTING, list);
    this.list = list;
  }
}

const inUse = ({ outOfUseAt: _before, ...profile }: ScaleProfile): ScaleProfile => profile;
