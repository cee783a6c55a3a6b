import { chooseTone } from "../../model/picture/choose-tone.ts";
import type { DeepRaster } from "../../model/picture/deep-raster.ts";
import { greyAt } from "../../model/picture/deep-raster.ts";
import type { DeepTone } from "../../model/picture/deep-tone.ts";
import { PictureError } from "../../model/picture/picture-error.ts";
import type { GreyImage, Raster } from "../../model/picture/pixels/grey.ts";
import { greyOf, newGrey, shrinkGrey } from "../../model/picture/pixels/grey.ts";
import { showDeep } from "../../model/picture/show-deep.ts";
import { deepUpright, open } from "./decode.ts";
import { rasterOf } from "./raster.ts";

/** Pixels worked on at most; larger frames are worked on smaller, because microscopes rarely resolve more. */
const WORKED_ON_PX = 3_000_000;

/** By how much frames of this size are made smaller to be worked on: a whole number. */
export const shrinkFor = (widthPx: number, heightPx: number): number =>
  Math.max(1, Math.ceil(Math.sqrt((widthPx * heightPx) / WORKED_ON_PX)));

/**
 * Reads the frames of one series. Deep files are judged on their own samples, and shown with the black and white
 * points of the first one read, so that all frames share one tone.
 */
export class FrameReader {
  #size: { readonly widthPx: number; readonly heightPx: number } | null = null;
  #tone: DeepTone | null = null;

  constructor(readonly frames: readonly Blob[]) {}

  get size(): { readonly widthPx: number; readonly heightPx: number } {
    return this.#size ?? { widthPx: 0, heightPx: 0 };
  }

  /** Pixels at full size. @throws PictureError */
  async raster(index: number): Promise<Raster> {
    const deep = await this.#deep(index);
    if (deep === null) return this.#checked((await rasterOf(this.#blob(index), null)).raster, index);
    this.#checked(deep, index);
    return { widthPx: deep.widthPx, heightPx: deep.heightPx, rgba: showDeep(deep, this.#toneOf(deep)) };
  }

  /** Grey values at the size worked on. @throws PictureError */
  async grey(index: number): Promise<GreyImage> {
    const deep = await this.#deep(index);
    if (deep === null) {
      const { raster } = await rasterOf(this.#blob(index), null);
      this.#checked(raster, index);
      return shrinkGrey(greyOf(raster), shrinkFor(raster.widthPx, raster.heightPx));
    }
    this.#checked(deep, index);
    const { black, white } = this.#toneOf(deep);
    const grey = newGrey(deep.widthPx, deep.heightPx);
    for (let i = 0; i < grey.data.length; i++) {
      const v = (greyAt(deep, i) - black) / (white - black);
      grey.data[i] = v > 0 ? Math.min(4, v) : 0;
    }
    return shrinkGrey(grey, shrinkFor(deep.widthPx, deep.heightPx));
  }

  #blob(index: number): Blob {
    const blob = this.frames[index];
    if (!blob) throw new PictureError("frames-do-not-fit", `Frame ${String(index + 1)} is not there.`);
    return blob;
  }

  async #deep(index: number): Promise<DeepRaster | null> {
    return deepUpright(await open(this.#blob(index), "limits"));
  }

  #toneOf(deep: DeepRaster): DeepTone {
    this.#tone ??= chooseTone(deep);
    return this.#tone;
  }

  #checked<T extends { readonly widthPx: number; readonly heightPx: number }>(frame: T, index: number): T {
    const { widthPx, heightPx } = frame;
    this.#size ??= { widthPx, heightPx };
    if (this.#size.widthPx !== widthPx || this.#size.heightPx !== heightPx)
      throw new PictureError(
        "frames-do-not-fit",
        `Frame ${String(index + 1)} is ${String(widthPx)} × ${String(heightPx)} px, the others ${String(this.#size.widthPx)} × ${String(this.#size.heightPx)}.`,
      );
    return frame;
  }
}
