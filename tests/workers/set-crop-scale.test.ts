import { expect, test } from "vitest";
import type { Point } from "../../model/break/geometry.ts";
import type { Mark, Photograph } from "../../model/break/wire-break.ts";
import { CropTable } from "../../model/reference/export/crop-table.ts";
import { cropOf, type CropFrame } from "../../model/reference/export/crops.ts";
import { readCsv } from "../../model/reference/export/csv.ts";
import type { SetBreak } from "../../model/reference/member.ts";
import { cropped } from "../../web/workers/set-crop.ts";
import { type Dots, dotsAt, dotsFound, dotsTiff, drawn, GROUND, outline, profile, shownDots } from "../crop-scenes.ts";

/*
 * A crop promises a number of pixels to one wire diameter, in every direction. So two dots a known part of a diameter
 * apart in the made picture must lie that part times that number apart in the crop.
 */
const PX = 128;
const MM = 1.6; // Wire diameter.
const DOTS: Dots = { widthPx: 260, heightPx: 220, at: [[90, 80], [150, 125]] }; // prettier-ignore
const MIDDLE: Point = [125, 105];

async function cut(bytes: Uint8Array<ArrayBuffer>, photograph: Photograph, marks: readonly Mark[]) {
  const frame = cropOf({ marks }, photograph, { pxPerDiameter: PX });
  if (typeof frame === "string") throw new Error(frame);
  const png = await cropped(bytes, photograph, frame);
  if (png === null) throw new Error("not decoded");
  const bitmap = await createImageBitmap(new Blob([png]));
  const { width, height } = bitmap;
  const context = new OffscreenCanvas(width, height).getContext("2d")!;
  context.drawImage(bitmap, 0, 0);
  const { data } = context.getImageData(0, 0, width, height);
  return { frame, data, width, height, dots: dotsFound(data, width, height) };
}
const between = ([[ax, ay], [bx, by]]: readonly [Point, Point]): Point => [bx - ax, by - ay];
/** From the dimmer dot to the brighter one, within half a pixel. */
function expectVector(dots: readonly [Point, Point], [x, y]: Point): void {
  const [dx, dy] = between(dots);
  expect(Math.abs(dx - x), `${dx} along the rows instead of ${x}`).toBeLessThan(0.5);
  expect(Math.abs(dy - y), `${dy} along the columns instead of ${y}`).toBeLessThan(0.5);
}
/** What the table of crops says of a crop. */
function lineOf(photograph: Photograph, frame: CropFrame): Readonly<Record<string, string>> {
  const table = new CropTable();
  const crop = { cropId: "c", photoId: 1, caseId: "b", side: "machine", photograph, frame } as const;
  table.add(crop, { type: "torsion" } as SetBreak, "train");
  const { head, lines } = readCsv(table.text);
  return Object.fromEntries(head.map((column, i) => [column, lines[0]![i]!]));
}
/** Wire of 160 px: 100 px to a millimetre, drawn round the dots. */
const WIRE = outline(MIDDLE, 80);
const WANTED: Point = [((60 / 100) * PX) / MM, ((45 / 100) * PX) / MM];

test("16 bit with a chosen tone: distance and brightness are those of the tone", async () => {
  const deepTone = { sample: "uint16", black: 1000, white: 3550, chosen: "by-a-person" } as const;
  const shown = shownDots(DOTS, { deepTone, scale: profile(100) });
  const { dots, data } = await cut(dotsTiff([DOTS], 16), shown, [WIRE]);
  expectVector(dots, WANTED);
  expect(data[0]).toBe(GROUND);
  const dark = { ...shown, deepTone: { ...deepTone, black: 1320, white: 3870 } };
  expect((await cut(dotsTiff([DOTS], 16), dark, [WIRE])).data[0]).toBe(32);
});

test("the second page is cropped, not the first", async () => {
  const first: Dots = { ...DOTS, at: [[100, 105], [150, 105]] }; // prettier-ignore
  const file = dotsTiff([first, DOTS], 8);
  expectVector((await cut(file, shownDots(DOTS, { page: 1 }), [WIRE])).dots, WANTED);
  expectVector((await cut(file, shownDots(DOTS), [WIRE])).dots, [((50 / 100) * PX) / MM, 0]);
});

/** As a camera held upright stores it: row 0 is the right edge of the upright picture (EXIF orientation 6). */
async function turnedJpeg(dots: Dots): Promise<Uint8Array<ArrayBuffer>> {
  const { widthPx, heightPx } = dots;
  const pixels = new ImageData(heightPx, widthPx);
  for (let row = 0; row < widthPx; row++)
    for (let column = 0; column < heightPx; column++) {
      const v = dotsAt(dots, widthPx - 1 - row, column);
      pixels.data.set([v, v, v, 255], 4 * (row * heightPx + column));
    }
  const canvas = new OffscreenCanvas(heightPx, widthPx);
  canvas.getContext("2d")!.putImageData(pixels, 0, 0);
  const blob = await canvas.convertToBlob({ type: "image/jpeg", quality: 1 });
  const plain = new Uint8Array(await blob.arrayBuffer());
  const tiff = [0x4d, 0x4d, 0, 42, 0, 0, 0, 8, 0, 1, 1, 0x12, 0, 3, 0, 0, 0, 1, 0, 6, 0, 0, 0, 0, 0, 0];
  const app1 = [0xff, 0xe1, 0, 8 + tiff.length, 0x45, 0x78, 0x69, 0x66, 0, 0, ...tiff];
  return Uint8Array.from([...plain.subarray(0, 2), ...app1, ...plain.subarray(2)]);
}

test("orientation 6 is applied once; a turn for display turns no crop", async () => {
  const upright = shownDots(DOTS, { orientation: 6, mediaType: "image/jpeg" });
  const file = await turnedJpeg(DOTS);
  for (const turnDeg of [0, 90, -135]) expectVector((await cut(file, { ...upright, turnDeg }, [WIRE])).dots, WANTED);
});

/** x 100 px/mm, y 80 px/mm: a round wire looks flat. Its dots lie 0.6 mm and 0.5 mm apart. */
const FLAT: Dots = { ...DOTS, at: [[95, 85], [155, 125]] }; // prettier-ignore
const flat = shownDots(FLAT, { scale: profile(100, 80) });

test("pixels that are not square: the crop is true along x and along y", async () => {
  const { dots, frame } = await cut(dotsTiff([FLAT], 8), flat, [outline(MIDDLE, 80, 64)]);
  expectVector(dots, [(0.6 * PX) / MM, (0.5 * PX) / MM]);
  // 1.6 mm over 128 px.
  expect(lineOf(flat, frame)).toMatchObject({ um_per_px: "12.5", y_stretch: "1.25" });
  expect(frame.diameter).toBeCloseTo(160, 3);
});

test("pixels that are not square, from the side and slanting: the distance is true", async () => {
  // A wire of 0.8 mm along (4, 3)/5 of the specimen, ending at (1.3, 1.3) mm.
  const at = (along: number, across: number): Point => [
    100 * (1.3 + 0.8 * along - 0.6 * across),
    80 * (1.3 + 0.6 * along + 0.8 * across),
  ];
  const marks = [
    drawn("wire_outline", { type: "edges", points: [at(-1, -0.4), at(0, -0.4), at(-1, 0.4), at(0, 0.4)] }),
    drawn("neck", { type: "line", points: [at(0.1, -0.2), at(0.1, 0.2)] }),
  ];
  const slanting: Dots = { ...DOTS, at: [at(-0.8, -0.2), at(-0.1, 0.2)] };
  const shown = shownDots(slanting, { view: "side_0", scale: profile(100, 80) });
  const { dots } = await cut(dotsTiff([slanting], 8), shown, marks);
  // The rows run along the wire toward its break.
  expectVector(dots, [(0.7 * PX) / 0.8, (0.4 * PX) / 0.8]);
});

test("at the picture's edge: grey outside, the same distance inside", async () => {
  const near: Dots = { ...DOTS, at: [[20, 30], [70, 65]] }; // prettier-ignore
  const { dots, data, width } = await cut(dotsTiff([near], 8), shownDots(near), [outline([30, 40], 80)]);
  expectVector(dots, [((50 / 100) * PX) / MM, ((35 / 100) * PX) / MM]);
  expect([...data.subarray(0, 4)]).toEqual([128, 128, 128, 255]);
  // The crop begins 100 px left of the outline's middle and above it, so 70 and 60 px of it lie outside.
  const [left, top] = [(70 * PX) / 160, (60 * PX) / 160];
  const at = (x: number, y: number): number => data[4 * (Math.round(y) * width + Math.round(x))]!;
  expect([at(left - 1.5, width - 2), at(left + 1, width - 2)]).toEqual([128, GROUND]);
  expect([at(width - 2, top - 2), at(width - 2, top + 1)]).toEqual([128, GROUND]);
});

test("without a scale the outline alone gives the size", async () => {
  const { dots, frame } = await cut(dotsTiff([DOTS], 8), shownDots(DOTS), [WIRE]);
  expectVector(dots, [(60 / 160) * PX, (45 / 160) * PX]);
  expect(frame).toMatchObject({ pxPerDiameter: PX, stretchY: 1 });
  expect(lineOf(shownDots(DOTS), frame)).toMatchObject({ um_per_px: "", y_stretch: "1" });
});
