import sharp, { type Sharp, type TiffOptions } from "sharp";

/** Width and height of the made pictures: unequal, so that a swapped side shows. */
export const MADE = { widthPx: 60, heightPx: 40 } as const;

/**
 * Colour of the made picture at a pixel: four plain quarters with a light run, so that every turn and mirror differs.
 * @returns red, green, blue, 0–255.
 */
export function madeColour(x: number, y: number): [number, number, number] {
  const right = x >= MADE.widthPx / 2;
  const low = y >= MADE.heightPx / 2;
  if (!right && !low) return [200, 40, 40 + x];
  if (right && !low) return [40, 180, 40 + y];
  if (!right) return [40, 60 + y, 200];
  return [220, 200, 60 + y];
}

/** @returns rows × columns × RGB. */
export function madePixels(): Uint8Array {
  const pixels = new Uint8Array(MADE.widthPx * MADE.heightPx * 3);
  for (let y = 0; y < MADE.heightPx; y++) {
    for (let x = 0; x < MADE.widthPx; x++) pixels.set(madeColour(x, y), (y * MADE.widthPx + x) * 3);
  }
  return pixels;
}

const plain = () => sharp(madePixels(), { raw: { width: MADE.widthPx, height: MADE.heightPx, channels: 3 } });

/** How the stored pixels must be changed so that the stated orientation makes them upright again. */
function stored(orientation: number): Sharp {
  const image = plain();
  switch (orientation) {
    case 2:
      return image.flop();
    case 3:
      return image.rotate(180);
    case 4:
      return image.flip();
    case 5:
      return image.rotate(90).flop();
    case 6:
      return image.rotate(-90);
    case 7:
      return image.rotate(-90).flop();
    case 8:
      return image.rotate(90);
    default:
      return image;
  }
}

async function oriented(orientation: number): Promise<Sharp> {
  const { data, info } = await stored(orientation).raw().toBuffer({ resolveWithObject: true });
  const image = sharp(data, { raw: { width: info.width, height: info.height, channels: info.channels } });
  return image.withMetadata({ orientation });
}

const orientations = <K extends string>(kind: K, save: (image: Sharp) => Promise<Buffer>) =>
  Object.fromEntries([2, 3, 4, 5, 6, 7, 8].map((o) => [`${kind}-o${String(o)}`, async () => save(await oriented(o))]));

const tiff = (options: TiffOptions) => () => plain().tiff(options).toBuffer();

/** Every made picture by name. All hold the same upright picture. */
export const SHAPES: Readonly<Record<string, () => Promise<Buffer>>> = {
  jpeg: () => plain().jpeg({ quality: 100, chromaSubsampling: "4:4:4" }).toBuffer(),
  "jpeg-progressive": () => plain().jpeg({ quality: 100, chromaSubsampling: "4:4:4", progressive: true }).toBuffer(),
  "jpeg-timed": () =>
    plain()
      .withExif({
        IFD0: { Make: "Maker\u0007", Model: "Model 1" },
        IFD2: { DateTimeOriginal: "2026:11:03 14:05:09", OffsetTimeOriginal: "+01:00", SubSecTimeOriginal: "250" },
      })
      .jpeg({ quality: 100, chromaSubsampling: "4:4:4" })
      .toBuffer(),
  png: () => plain().png().toBuffer(),
  "png-16": () => plain().toColourspace("rgb16").png().toBuffer(),
  "png-palette": () => plain().png({ palette: true }).toBuffer(),
  "png-interlaced": () => plain().png({ progressive: true }).toBuffer(),
  "webp-lossless": () => plain().webp({ lossless: true }).toBuffer(),
  "webp-lossy": () => plain().webp({ quality: 100 }).toBuffer(),
  "tiff-plain": tiff({ compression: "none" }),
  "tiff-lzw": tiff({ compression: "lzw", predictor: "none" }),
  "tiff-lzw-differences": tiff({ compression: "lzw", predictor: "horizontal" }),
  "tiff-deflate": tiff({ compression: "deflate", predictor: "horizontal" }),
  "tiff-packbits": tiff({ compression: "packbits" }),
  "tiff-tiles": tiff({ compression: "none", tile: true, tileWidth: 16, tileHeight: 16 }),
  "tiff-tiles-lzw": tiff({ compression: "lzw", tile: true, tileWidth: 32, tileHeight: 16 }),
  "tiff-tiles-deflate": tiff({ compression: "deflate", tile: true, tileWidth: 16, tileHeight: 32 }),
  "tiff-big": tiff({ compression: "lzw", bigtiff: true }),
  "tiff-jpeg": tiff({ compression: "jpeg", quality: 100 }),
  ...orientations("jpeg", (image) => image.jpeg({ quality: 100, chromaSubsampling: "4:4:4" }).toBuffer()),
  ...orientations("png", (image) => image.png().toBuffer()),
  ...orientations("webp", (image) => image.webp({ lossless: true }).toBuffer()),
  ...orientations("tiff", (image) => image.tiff({ compression: "lzw" }).toBuffer()),
};
export type Shape = keyof typeof SHAPES;

/** @returns the file. */
export function makePicture(shape: Shape): Promise<Buffer> {
  const make = SHAPES[shape];
  if (!make) throw new Error(`no shape ${shape}`);
  return make();
}
