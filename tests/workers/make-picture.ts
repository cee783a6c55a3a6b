import sharp, { type Sharp, type TiffOptions } from "sharp";
import { png } from "../model/picture/small-files.ts";

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

/**
 * The made picture as a camera in this orientation would have stored it.
 * @source CIPA DC-008-2019 (Exif 2.32), Orientation: which edges of the upright picture row 0 and column 0 are.
 */
function oriented(orientation: number): Sharp {
  const { widthPx: w, heightPx: h } = MADE;
  const turned = orientation >= 5;
  const [width, height] = turned ? [h, w] : [w, h];
  const fromRight = [2, 3, 6, 7].includes(orientation);
  const fromBottom = [3, 4, 7, 8].includes(orientation);
  const data = new Uint8Array(width * height * 3);
  for (let row = 0; row < height; row++) {
    for (let column = 0; column < width; column++) {
      const [x, y] = turned ? [row, column] : [column, row];
      data.set(madeColour(fromRight ? w - 1 - x : x, fromBottom ? h - 1 - y : y), (row * width + column) * 3);
    }
  }
  return sharp(data, { raw: { width, height, channels: 3 } }).withMetadata({ orientation });
}

const orientations = <K extends string>(kind: K, save: (image: Sharp) => Promise<Buffer>) =>
  Object.fromEntries([2, 3, 4, 5, 6, 7, 8].map((o) => [`${kind}-o${String(o)}`, () => save(oriented(o))]));

const tiff = (options: TiffOptions) => () => plain().tiff(options).toBuffer();

/** A BMP as the standard has it: rows from the bottom up, blue first, padded to four bytes. */
function bmp(): Buffer {
  const { widthPx, heightPx } = MADE;
  const stride = 4 * Math.ceil((widthPx * 3) / 4);
  const file = Buffer.alloc(54 + stride * heightPx);
  file.write("BM", "latin1");
  file.writeUInt32LE(file.length, 2);
  for (const [at, value] of [
    [10, 54],
    [14, 40],
    [18, widthPx],
    [22, heightPx],
    [26, 1 | (24 << 16)],
  ] as const) {
    file.writeUInt32LE(value, at);
  }
  for (let y = 0; y < heightPx; y++) {
    for (let x = 0; x < widthPx; x++) {
      file.set(madeColour(x, y).reverse(), 54 + (heightPx - 1 - y) * stride + 3 * x);
    }
  }
  return file;
}

/** PNG whose packed pixels end after half the rows, with right check sums everywhere: only unpacking shows it. */
function halfPng(): Buffer {
  const half = Buffer.alloc((1 + MADE.widthPx) * (MADE.heightPx / 2));
  return Buffer.from(png({ widthPx: MADE.widthPx, heightPx: MADE.heightPx, raw: half }));
}

/** PNG that unpacks to a thousand times its size. */
function bombPng(): Buffer {
  return Buffer.from(png({ widthPx: MADE.widthPx, heightPx: MADE.heightPx, raw: Buffer.alloc(50_000_000) }));
}

/** Values 300 … 2699, a rising ramp, row by row: hardly brighter than black unless black and white are chosen. */
const deepTiff = (compression: "lzw" | "deflate") =>
  sharp(
    Uint16Array.from({ length: 60 * 40 }, (_, i) => 300 + i),
    { raw: { width: 60, height: 40, channels: 1 } },
  )
    .toColourspace("grey16")
    .tiff({ compression, predictor: "horizontal" })
    .withMetadata({ orientation: 6 })
    .toBuffer();

/** Every made picture by name. All but the broken and the large ones hold the same upright picture. */
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
  bmp: () => Promise.resolve(bmp()),
  "png-half": () => Promise.resolve(halfPng()),
  "png-bomb": () => Promise.resolve(bombPng()),
  "jpeg-large": () =>
    sharp({ create: { width: 3000, height: 2000, channels: 3, background: "#778" } })
      .jpeg()
      .toBuffer(),
  png: () => plain().png().toBuffer(),
  "tiff-16-lzw": () => deepTiff("lzw"),
  "tiff-16-deflate": () => deepTiff("deflate"),
  "png-16-dark": () =>
    sharp(
      Uint16Array.from({ length: 60 * 40 }, (_, i) => 300 + i),
      { raw: { width: 60, height: 40, channels: 1 } },
    )
      .toColourspace("grey16")
      .png()
      .toBuffer(),
  "jpeg-cmyk": () => plain().pipelineColourspace("srgb").toColourspace("cmyk").jpeg({ quality: 100 }).toBuffer(),
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
