import { readFileSync } from "node:fs";
import { join } from "node:path";
import sharp from "sharp";
import { describe, expect, it } from "vitest";
import { laplacianVariance, meanModifiedLaplacian, tenengrad } from "../../../model/picture/pixels/focus-measure.ts";
import type { GreyImage } from "../../../model/picture/pixels/grey.ts";
import { newGrey } from "../../../model/picture/pixels/grey.ts";
import { originOfRow } from "../../../model/picture/stack/compose.ts";
import { focusMap } from "../../../model/picture/stack/focus-map.ts";
import { readSeries } from "../../../model/picture/stack/series.ts";
import { NO_REAL_DATA, realData } from "../../real-data.ts";

interface Outside {
  readonly about: string;
  readonly pictures: readonly {
    readonly file: string;
    readonly meanModifiedLaplacian: number;
    readonly laplacianVariance: number;
    readonly tenengrad: number;
  }[];
  readonly series: {
    readonly checksum: number;
    readonly cells: readonly (readonly number[])[];
    readonly rmsOff: number;
  };
}
/** Written by tests/outside/focus-stack.py with OpenCV and NumPy. */
const outside = JSON.parse(readFileSync(new URL("../../outside/focus-stack.json", import.meta.url), "utf8")) as Outside;

const real = realData();
if (real === null) console.log(NO_REAL_DATA);

describe.runIf(real !== null)("focus measures on real pictures agree with OpenCV", () => {
  it.each(outside.pictures)("$file", async ({ file, ...expected }) => {
    const { data, info } = await sharp(join(real!, file)).greyscale().raw().toBuffer({ resolveWithObject: true });
    const image = newGrey(info.width, info.height);
    for (let i = 0; i < image.data.length; i++) image.data[i] = data[i * info.channels]! / 255;
    const near = (value: number, truth: number) => expect(Math.abs(value / truth - 1)).toBeLessThan(1e-4);
    near(meanModifiedLaplacian(image), expected.meanModifiedLaplacian);
    near(laplacianVariance(image), expected.laplacianVariance);
    near(tenengrad(image), expected.tenengrad);
  });
});

const [WIDTH, HEIGHT, FRAMES] = [160, 120, 9];

/** The formula of tests/outside/focus-stack.py; null = sharp all over. */
function made(k: number | null): GreyImage {
  const image = newGrey(WIDTH, HEIGHT);
  for (let y = 0; y < HEIGHT; y++)
    for (let x = 0; x < WIDTH; x++) {
      const sigma = k === null ? 0 : 0.8 * Math.abs(-1 - (6 * x) / WIDTH + k);
      let v = 0.5;
      for (let j = 0; j < 24; j++) {
        const turn = 2.399963 * j;
        const omega = 0.5 + 0.045 * j;
        const wave = Math.cos(omega * (x * Math.cos(turn) + y * Math.sin(turn)) + 1.7 * j);
        v += 0.018 * wave * Math.exp((-(omega ** 2) * sigma ** 2) / 2);
      }
      image.data[y * WIDTH + x] = v;
    }
  return image;
}

describe("the sharpest frame agrees with a plain choice of the largest focus by NumPy", () => {
  it("cell by cell to one frame, and the composite is as near to the sharp picture", async () => {
    const frames = Array.from({ length: FRAMES }, (_, k) => made(k));
    const sum = frames.reduce((s, f) => s + f.data.reduce((a, b) => a + b, 0), 0);
    expect(Math.abs(sum / outside.series.checksum - 1)).toBeLessThan(1e-6);
    const map = focusMap((await readSeries(FRAMES, (k) => frames[k]!)).volume);
    let near = 0;
    outside.series.cells.forEach((row, j) =>
      row.forEach((frame, i) => {
        if (Math.abs(map.frame[j * map.columns + i]! - frame) <= 1) near++;
      }),
    );
    expect(near / map.frame.length).toBeGreaterThanOrEqual(0.95);
    const sharpAllOver = made(null);
    const origin = new Uint8Array(WIDTH);
    let squares = 0;
    let count = 0;
    for (let y = 8; y < HEIGHT - 8; y++) {
      originOfRow(map, y, 1, origin);
      for (let x = 8; x < WIDTH - 8; x++) {
        squares += (frames[origin[x]!]!.data[y * WIDTH + x]! - sharpAllOver.data[y * WIDTH + x]!) ** 2;
        count++;
      }
    }
    expect(Math.sqrt(squares / count)).toBeLessThan(1.1 * outside.series.rmsOff);
  });
});
