import { PictureError } from "./picture-error.ts";
import type { TiffLayout } from "./tiff-layout.ts";
import type { Page } from "./tiff-pages.ts";

const BITS = 258;
const SAMPLE_FORMAT = 339;
/** Depths that are read, by format. @source TIFF 6.0 (1992), section 19 (SampleFormat). */
const READ: Readonly<Record<TiffLayout["format"], readonly number[]>> = {
  unsigned: [1, 2, 4, 8, 10, 12, 14, 16, 32],
  signed: [16, 32],
  float: [32, 64],
};
const NAME = { unsigned: "", signed: "signed ", float: "floating-point " } as const;

/**
 * What the samples of a page are. A format that is not stated, or stated as unknown, means unsigned whole numbers.
 * @throws PictureError unsupported-kind, damaged.
 */
export async function sampleKindOf(page: Page, samples: number): Promise<Pick<TiffLayout, "bits" | "format">> {
  const depths = await page.list(BITS, 64, [1]);
  const bits = depths[0] ?? 1;
  if (depths.length !== 1 && depths.length < samples) {
    throw new PictureError("damaged", "The TIFF is damaged: its number of colour parts is wrong.");
  }
  const codes = await page.list(SAMPLE_FORMAT, 64, [1]);
  if (depths.some((depth) => depth !== bits) || codes.some((code) => code !== codes[0])) {
    throw new PictureError(
      "unsupported-kind",
      "A TIFF with colour parts of different depths is not read by this version.",
    );
  }
  const format = { 1: "unsigned", 2: "signed", 3: "float", 4: "unsigned" }[codes[0] ?? 1] as
    TiffLayout["format"] | undefined;
  if (format === undefined || !READ[format].includes(bits)) {
    const name = format === undefined ? "complex " : NAME[format];
    throw new PictureError(
      "unsupported-kind",
      `A TIFF of ${String(bits)}-bit ${name}values is not read by this version.`,
    );
  }
  return { bits, format };
}
