import type { Photograph } from "../../model/break/wire-break.ts";
import type { FlatField } from "../../model/picture/seeing/flat-field.ts";
import { checkFits } from "../../model/picture/seeing/flat-field.ts";
import type { SeeingAids } from "../../model/picture/seeing/see.ts";
import { SeeingError } from "../../model/picture/seeing/seeing-error.ts";
import { shownKey } from "../../model/picture/shown-as.ts";
import type { RgbGains, ViewSettings } from "../../model/picture/view-settings.ts";
import type { SeeingClient } from "./seeing-client.ts";

export type SeenPhotograph = Pick<Photograph, "hash" | "widthPx" | "heightPx" | "page" | "deepTone">;

/** Aids as far as they could be had, and in plain sentences why one is not used. */
export interface ReadAids {
  readonly aids: SeeingAids;
  readonly faults: readonly string[];
}

/** Reads the blank frames and grey patches that view settings name; each blank frame once. */
export class SeeingAidsReader {
  readonly #fields = new Map<string, Promise<FlatField>>();

  /** @param pictureOf – bytes of an original or its working copy; null when it is not stored. */
  constructor(
    readonly client: Pick<SeeingClient, "blank" | "neutral">,
    readonly pictureOf: (hash: string) => Promise<Blob | null>,
  ) {}

  /**
   * @param bitmap – the photograph as it is, in any size.
   * @throws PictureError, StoreError; what is only refused is among the faults.
   */
  async read(photograph: SeenPhotograph, settings: ViewSettings, bitmap: ImageBitmap): Promise<ReadAids> {
    const faults: string[] = [];
    const orFault = async <T>(what: string, read: Promise<T | null>): Promise<T | null> => {
      try {
        return await read;
      } catch (error) {
        if (!(error instanceof SeeingError)) throw error;
        faults.push(`${what} not used. ${error.message}`);
        return null;
      }
    };
    const { flatField, neutral } = settings;
    let field: FlatField | null = null;
    if (flatField !== null) {
      field = await orFault("Flat field", this.field(flatField.hash, photograph));
      if (field === null && faults.length === 0)
        faults.push(`Flat field not used. The blank frame ${flatField.fileName} is not on this disk.`);
    }
    const gains: RgbGains | null =
      neutral === null
        ? null
        : (neutral.from?.gains ?? (await orFault("Grey patch", this.neutral(photograph, neutral, bitmap, field))));
    return { aids: { field, gains }, faults };
  }

  /** @returns null when the blank frame is not stored. @throws SeeingError blank-…, PictureError, StoreError */
  async field(hash: string, photograph: SeenPhotograph): Promise<FlatField | null> {
    const { deepTone } = photograph;
    const shown = deepTone === undefined ? {} : { deepTone };
    const key = `${hash} ${shownKey(shown)}`;
    let pending = this.#fields.get(key);
    if (pending === undefined) {
      const blob = await this.pictureOf(hash);
      if (blob === null) return null;
      pending = this.client.blank(blob, shown);
      this.#fields.set(key, pending);
      // One that failed may be tried again.
      pending.catch(() => this.#fields.delete(key));
    }
    const field = await pending;
    checkFits(field, photograph);
    return field;
  }

  /** @param patch – px of the photograph. @throws SeeingError patch-…, PictureError */
  neutral(
    photograph: SeenPhotograph,
    patch: NonNullable<ViewSettings["neutral"]>,
    bitmap: ImageBitmap,
    field: FlatField | null,
  ): Promise<RgbGains> {
    const k = bitmap.width / photograph.widthPx;
    const radiusPx = Math.max(1, patch.radiusPx * k);
    return this.client.neutral(bitmap, { x: patch.x * k, y: patch.y * k, radiusPx }, field);
  }
}
