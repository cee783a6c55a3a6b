import type { EndSide, Photograph } from "../../break/wire-break.ts";
import type { SetBreak, Split } from "../member.ts";
import { END_LETTER } from "./coco.ts";
import { CROP_BEYOND_D, CROP_HEIGHT_D, CROP_LENGTH_D, type CropFrame, type CropOptions, type NoCrop } from "./crops.ts";
import { CROP_FILL } from "./crop-pixels.ts";
import { csvLine } from "./csv.ts";
import { scaleOf } from "./scale-of.ts";

export const CROP_COLUMNS = [
  "crop_id",
  "photo_id",
  "case_id",
  "end",
  "view",
  "file_name",
  "x_px",
  "y_px",
  "width_px",
  "height_px",
  "turn_deg",
  "diameter_px",
  "out_width",
  "out_height",
  "px_per_diameter",
  "um_per_px",
  "break_type",
  "split",
] as const;

/** Beside them since photographs may have pixels that are not square; sets of before lack it, which means 1. */
export const STRETCH_COLUMN = "y_stretch";

/** Identifier of a crop: the name of its photograph in the set without the extension. */
export const cropIdOf = (pictureFileName: string): string => pictureFileName.replace(/\.[a-z]+$/, "");
/** Inside the folder of crops. */
export const cropFileName = (split: Split, cropId: string): string => `${split}/${cropId}.png`;

/** A crop that was written. */
export interface WrittenCrop {
  readonly cropId: string;
  readonly photoId: number;
  readonly caseId: string;
  readonly side: EndSide;
  readonly photograph: Photograph;
  readonly frame: CropFrame;
}

export interface CropFigures {
  readonly written: number;
  /** Photographs of the set without a crop, by the reason; only reasons that occur. */
  readonly leftOut: readonly { readonly why: NoCrop; readonly photographs: number }[];
}

/** Gathers the lines of the table of crops. */
export class CropTable {
  private readonly lines = [csvLine([...CROP_COLUMNS, STRETCH_COLUMN])];
  private readonly without = new Map<NoCrop, number>();

  add({ cropId, photoId, caseId, side, photograph, frame }: WrittenCrop, { type }: SetBreak, split: Split): void {
    const scale = scaleOf(photograph);
    // Of the crop, not of the photograph: that one stands in the table of photographs.
    const umPerPx = scale === null ? null : Number(((scale.umPerPx * frame.width) / frame.outWidth).toPrecision(8));
    this.lines.push(
      csvLine([
        cropId,
        photoId,
        caseId,
        END_LETTER[side],
        photograph.view,
        cropFileName(split, cropId),
        frame.x,
        frame.y,
        frame.width,
        frame.height,
        frame.turnDeg,
        frame.diameter,
        frame.outWidth,
        frame.outHeight,
        frame.pxPerDiameter,
        umPerPx,
        type,
        split,
        frame.stretchY,
      ]),
    );
  }

  leaveOut(why: NoCrop): void {
    this.without.set(why, (this.without.get(why) ?? 0) + 1);
  }

  get text(): string {
    return this.lines.join("");
  }
  get figures(): CropFigures {
    return {
      written: this.lines.length - 1,
      leftOut: [...this.without]
        .map(([why, photographs]) => ({ why, photographs }))
        .sort((a, b) => (a.why < b.why ? -1 : 1)),
    };
  }
}

const WHY: Readonly<Record<NoCrop, string>> = {
  "other-view": "neither end-on nor a side view",
  "no-outline": "no wire outline drawn",
  "outline-unfit": "the outline is too small, crosses itself, or its crop would lie outside the photograph",
  "no-end": "nothing drawn says where the wire ends",
  "not-decoded": "the photograph could not be decoded here",
};

/** How many photographs have no crop, and why, as one sentence. */
export function leftOutWords({ leftOut }: CropFigures): string {
  const sum = leftOut.reduce((all, { photographs }) => all + photographs, 0);
  if (sum === 0) return "Every photograph has a crop.";
  const each = leftOut.map(({ why, photographs }) => `${photographs}: ${WHY[why]}`).join("; ");
  return `${sum} photographs have no crop (${each}).`;
}

/** What the data sheet says about the crops, in paragraphs. */
export function cropWords({ pxPerDiameter }: CropOptions, figures: CropFigures): readonly string[] {
  const second = CROP_LENGTH_D - CROP_BEYOND_D;
  return [
    `${figures.written} crops, each at ${pxPerDiameter} px to one wire diameter, whatever the diameter and the scale of the photograph. ${leftOutWords(figures)}`,
    `End-on: ${CROP_HEIGHT_D} wire diameters square round the middle of the drawn outline, not turned. From the side: ${CROP_LENGTH_D} wire diameters long and ${CROP_HEIGHT_D} high, from ${CROP_BEYOND_D} beyond the farthest mark of the broken end to ${second} behind it, turned so that the wire lies level with its break to the right. The wire diameter is that of the outline drawn on the photograph (end-on: twice the root of the product of the half-axes).`,
    `Each pixel is the mean of samples at most one pixel of the photograph apart, each interpolated between its four neighbours, on 8-bit sRGB values. Outside the photograph lies grey ${CROP_FILL}. A crop finer than its photograph shows no more than the photograph does: compare width\\_px with out\\_width. Of a photograph whose scale differs along x and y, y is first multiplied by y\\_stretch, so that a crop is true in every direction; x\\_px, y\\_px, width\\_px, height\\_px, turn\\_deg and diameter\\_px are lengths and angles after that.`,
  ];
}
