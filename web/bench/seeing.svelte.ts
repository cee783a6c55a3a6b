import type { Edit } from "../../model/break/edits.ts";
import { findPhotograph } from "../../model/break/edits.ts";
import type { Point } from "../../model/break/geometry.ts";
import type { EndSide, Photograph } from "../../model/break/wire-break.ts";
import { END_SIDES } from "../../model/break/wire-break.ts";
import { checkFits } from "../../model/picture/seeing/flat-field.ts";
import { SeeingError } from "../../model/picture/seeing/seeing-error.ts";
import { isPlainView, PLAIN_VIEW, type NeutralPatch, type ViewSettings } from "../../model/picture/view-settings.ts";
import type { PictureClient } from "../workers/client.ts";
import { SeeingAidsReader } from "../workers/seeing-aids.ts";
import type { SeeingClient } from "../workers/seeing-client.ts";
import type { Desk } from "./desk.svelte.ts";

/** Moving a slider is one edit when it has rested so long. */
const ONE_EDIT_MS = 500;
/** Radius of a placed patch as a share of the longest side. */
const PATCH_SHARE = 1 / 120;

/** What the bench needs for seeing better; made by the screen, which also closes it. */
export interface SeeingTools {
  readonly client: SeeingClient;
  readonly pictures: Pick<PictureClient, "inspect" | "copies">;
}

/** How the photographs of the open break are looked at. Marks and measures never come here. */
export class Seeing {
  /** Settings under the hand that are not an edit yet. */
  draft = $state.raw<{ readonly photographId: string; readonly settings: ViewSettings } | null>(null);
  /** True while the photographs are shown as they were taken. */
  comparing = $state(false);
  /** Why the last blank frame or patch was not used; its next step. */
  problem = $state.raw<{ readonly message: string; readonly next: string } | null>(null);
  /** What is being read. */
  busy = $state<string | null>(null);
  readonly client: SeeingClient;
  readonly aids: SeeingAidsReader;
  readonly #desk: Desk;
  readonly #pictures: SeeingTools["pictures"];
  #timer: ReturnType<typeof setTimeout> | undefined;

  constructor(desk: Desk, { client, pictures }: SeeingTools) {
    this.#desk = desk;
    this.client = client;
    this.#pictures = pictures;
    this.aids = new SeeingAidsReader(client, (hash) => desk.app.bench.picture(hash));
  }

  of(photograph: Photograph): ViewSettings {
    const { draft } = this;
    return draft?.photographId === photograph.id ? draft.settings : (photograph.seeing ?? PLAIN_VIEW);
  }

  /** Shows a change at once; it becomes an edit when the hand rests. */
  change(photograph: Photograph, patch: Partial<ViewSettings>): void {
    if (this.draft !== null && this.draft.photographId !== photograph.id) this.flush();
    this.draft = { photographId: photograph.id, settings: { ...this.of(photograph), ...patch } };
    clearTimeout(this.#timer);
    this.#timer = setTimeout(() => this.flush(), ONE_EDIT_MS);
  }

  /** Makes the edit that a moved slider still owes. */
  flush(): void {
    clearTimeout(this.#timer);
    const { draft } = this;
    if (draft === null) return;
    const stored = findPhotograph(this.#desk.record, draft.photographId)?.photograph;
    if (stored && JSON.stringify(stored.seeing ?? PLAIN_VIEW) !== JSON.stringify(draft.settings))
      this.#desk.do(settingsEdit(draft.photographId, draft.settings));
    this.draft = null;
  }

  /** A change that is an edit by itself. */
  set(photograph: Photograph, patch: Partial<ViewSettings>): void {
    this.problem = null;
    this.flush();
    this.#desk.do(settingsEdit(photograph.id, { ...this.of(photograph), ...patch }));
  }

  reset(photograph: Photograph): void {
    this.draft = null;
    this.set(photograph, PLAIN_VIEW);
  }

  /** As it was taken, until the key or the button is let go. */
  compare(): void {
    if (this.comparing) return;
    this.comparing = true;
    const events = ["keyup", "pointerup", "pointercancel", "blur"] as const;
    const end = () => {
      this.comparing = false;
      for (const name of events) removeEventListener(name, end);
    };
    for (const name of events) addEventListener(name, end);
  }

  /** Divides by a photograph that is on the bench already. */
  async blankFrom(photograph: Photograph, blank: Pick<Photograph, "hash" | "fileName">): Promise<void> {
    await this.#reading("Reading the blank frame…", async () => {
      const field = await this.aids.field(blank.hash, photograph);
      if (field === null) throw new Error(`The blank frame ${blank.fileName} is not on this disk.`);
      this.set(photograph, { flatField: { hash: blank.hash, fileName: blank.fileName } });
    });
  }

  /** Divides by a file, which is kept as an original. A refused file is not kept. */
  async blankFile(photograph: Photograph, file: File): Promise<void> {
    await this.#reading("Reading the blank frame…", async () => {
      const { hash, mediaType } = await this.#pictures.inspect(file);
      const { deepTone } = photograph;
      checkFits(await this.client.blank(file, deepTone === undefined ? {} : { deepTone }), photograph);
      const { bench } = this.#desk.app;
      if (!(await bench.known([hash])).has(hash)) {
        const { thumbnail, working } = await this.#pictures.copies(file);
        const original = { hash, original: file, fileName: file.name, mediaType, thumbnail, working };
        await bench.commit({ entries: [], records: [], originals: [original] });
      }
      this.set(photograph, { flatField: { hash, fileName: file.name } });
    });
  }

  /** Takes a place that a person says is grey. */
  async placePatch(photograph: Photograph, [x, y]: Point): Promise<void> {
    await this.#reading("Reading the grey patch…", async () => {
      const radiusPx = Math.max(3, Math.round(Math.max(photograph.widthPx, photograph.heightPx) * PATCH_SHARE));
      const neutral: NeutralPatch = { x, y, radiusPx };
      await this.#gainsOf(photograph, neutral);
      this.set(photograph, { neutral });
    });
  }

  /** Gives other photographs the same settings: those of the same end, or all of the break. */
  async sameForOthers(photograph: Photograph, side: EndSide | null): Promise<void> {
    await this.#reading("Reading the grey patch…", async () => {
      this.flush();
      const settings = this.of(photograph);
      const neutral = await this.#neutralElsewhere(photograph, settings.neutral);
      const others = (side === null ? END_SIDES : [side]).flatMap((s) =>
        this.#desk.record.ends[s].photographs.filter((p) => p.id !== photograph.id),
      );
      let unfit = 0;
      const edits = others.map((p): Edit => {
        const fits = p.widthPx === photograph.widthPx && p.heightPx === photograph.heightPx;
        if (!fits && settings.flatField !== null) unfit++;
        return settingsEdit(p.id, { ...settings, neutral, flatField: fits ? settings.flatField : null });
      });
      if (edits.length === 0 || !this.#desk.do({ kind: "together", edits })) return;
      const without = unfit === 0 ? "" : `; without the flat field on ${unfit} of another size`;
      this.#desk.app.say(`The same light on ${edits.length} more${without}.`);
    });
  }

  async #neutralElsewhere(photograph: Photograph, neutral: NeutralPatch | null): Promise<NeutralPatch | null> {
    if (neutral === null || neutral.from !== undefined) return neutral;
    const gains = await this.#gainsOf(photograph, neutral);
    return { ...neutral, from: { hash: photograph.hash, fileName: photograph.fileName, gains } };
  }

  async #gainsOf(photograph: Photograph, neutral: NeutralPatch) {
    const { flatField } = this.of(photograph);
    const field = flatField === null ? null : await this.aids.field(flatField.hash, photograph);
    const picture = await this.#desk.pictures.hold(photograph);
    try {
      const [full] = picture?.levels ?? [];
      if (!full) throw new Error("The original of this photograph is not on this disk.");
      return await this.aids.neutral(photograph, neutral, full, field);
    } finally {
      this.#desk.pictures.release(photograph);
    }
  }

  async #reading(what: string, work: () => Promise<void>): Promise<void> {
    this.problem = null;
    this.busy = what;
    try {
      await work();
    } catch (error) {
      if (error instanceof SeeingError) {
        this.problem = { message: error.message, next: error.next };
        this.#desk.say(`${error.message} ${error.next}`);
      } else this.#desk.app.report(error);
    } finally {
      this.busy = null;
    }
  }
}

const settingsEdit = (photographId: string, settings: ViewSettings): Edit => ({
  kind: "set-photograph",
  photographId,
  patch: { seeing: isPlainView(settings) ? null : settings },
});
