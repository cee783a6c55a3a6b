import { readFileSync } from "node:fs";
import { join } from "node:path";
import sharp from "sharp";
import { describe, expect, test } from "vitest";
import { localPatterns } from "../../../../model/picture/face/local-patterns.ts";
import { pairFigures, pairTable } from "../../../../model/picture/face/pair-table.ts";
import type { GreyImage } from "../../../../model/picture/pixels/grey.ts";
import { realData } from "../../../real-data.ts";

interface Outside {
  readonly pictures: readonly {
    readonly file: string | null;
    readonly patterns1: readonly number[];
    readonly patterns3: readonly number[];
    readonly right1: ReturnType<typeof pairFigures>;
    readonly down4: ReturnType<typeof pairFigures>;
  }[];
}
// scikit-image, by tests/outside/face-texture.py.
const outside = JSON.parse(
  readFileSync(new URL("../../../outside/face-texture.json", import.meta.url), "utf8"),
) as Outside;
const real = realData();

/** Values and how many of them make a level; the made picture follows the formula of the script. */
async function pixels(file: string | null): Promise<{ values: Float32Array; widthPx: number; perLevel: number }> {
  if (file === null) {
    const values = Float32Array.from({ length: 64 * 48 }, (_, i) => {
      const [x, y] = [i % 64, Math.floor(i / 64)];
      const v = x * 7919 + y * 104729 + x * y * 31 + x * x * 17 + Math.floor(x / 5) * Math.floor(y / 7) * 977;
      return v % 65521;
    });
    return { values, widthPx: 64, perLevel: 4096 };
  }
  const picture = sharp(join(real ?? "", "texture", file)).extract({ left: 0, top: 0, width: 200, height: 160 });
  return { values: Float32Array.from(await picture.greyscale().raw().toBuffer()), widthPx: 200, perLevel: 16 };
}

describe.each(outside.pictures.filter(({ file }) => file === null || real !== null))(
  "texture numbers beside scikit-image, $file",
  (theirs) => {
    test("local patterns: the same count of each kind", async () => {
      const { values, widthPx } = await pixels(theirs.file);
      const image: GreyImage = { widthPx, heightPx: values.length / widthPx, data: values };
      for (const [radius, counts] of [
        [1, theirs.patterns1],
        [3, theirs.patterns3],
      ] as const) {
        const mine = new Array<number>(10).fill(0);
        // Four pixels from the rim, as in the script.
        localPatterns(image, radius).forEach((p, at) => {
          const [x, y] = [at % widthPx, Math.floor(at / widthPx)];
          if (x >= 4 && y >= 4 && x < widthPx - 4 && y < image.heightPx - 4) mine[p]!++;
        });
        // Ties between interpolated and whole values fall either way in the last bit.
        const apart = mine.reduce((sum, n, k) => sum + Math.abs(n - counts[k]!), 0);
        expect(apart / values.length).toBeLessThan(0.005);
      }
    });

    test("pairs of grey levels: the same figures", async () => {
      const { values, widthPx, perLevel } = await pixels(theirs.file);
      const level = Uint8Array.from(values, (v) => Math.floor(v / perLevel));
      for (const [step, figures] of [
        [[1, 0], theirs.right1],
        [[0, 4], theirs.down4],
      ] as const) {
        const mine = pairFigures(pairTable(level, widthPx, 16, [step]));
        for (const key of ["contrast", "homogeneity", "energy", "correlation"] as const)
          expect(Math.abs(mine[key] - figures[key])).toBeLessThan(1e-9 * Math.max(1, figures[key]));
      }
    });
  },
);
