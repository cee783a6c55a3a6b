import { readFileSync } from "node:fs";
import { join } from "node:path";
import sharp from "sharp";
import { describe, expect, test } from "vitest";
import { localPatterns } from "../../../../model/picture/face/local-patterns.ts";
import { pairFigures, pairTable } from "../../../../model/picture/face/pair-table.ts";
import type { GreyImage } from "../../../../model/picture/pixels/grey.ts";
import { realData } from "../../../real-data.ts";

interface Outside {
  readonly tolerance: number;
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

/** Values 0–255; the made picture follows the formula of the script. */
async function pixels(file: string | null): Promise<{ bytes: Uint8Array; widthPx: number }> {
  if (file === null) {
    const bytes = new Uint8Array(64 * 48);
    for (let y = 0; y < 48; y++)
      for (let x = 0; x < 64; x++)
        bytes[y * 64 + x] = (x * x * 7 + y * 13 + ((x * y) % 31) * 5 + Math.floor(x / 5) * Math.floor(y / 7) * 3) % 256;
    return { bytes, widthPx: 64 };
  }
  const picture = sharp(join(real ?? "", "texture", file)).extract({ left: 0, top: 0, width: 200, height: 160 });
  return { bytes: new Uint8Array(await picture.greyscale().raw().toBuffer()), widthPx: 200 };
}

describe.each(outside.pictures.filter(({ file }) => file === null || real !== null))(
  "texture numbers beside scikit-image, $file",
  (theirs) => {
    test("local patterns: the same count of each kind", async () => {
      const { bytes, widthPx } = await pixels(theirs.file);
      const image: GreyImage = { widthPx, heightPx: bytes.length / widthPx, data: Float32Array.from(bytes) };
      for (const [radius, counts] of [
        [1, theirs.patterns1],
        [3, theirs.patterns3],
      ] as const) {
        const mine = new Array<number>(10).fill(0);
        for (const p of localPatterns(image, radius)) mine[p]!++;
        // Ties between interpolated and whole values fall either way in the last bit.
        const apart = mine.reduce((sum, n, k) => sum + Math.abs(n - counts[k]!), 0);
        expect(apart / bytes.length).toBeLessThan(0.015);
      }
    });

    test("pairs of grey levels: the same figures", async () => {
      const { bytes, widthPx } = await pixels(theirs.file);
      const level = bytes.map((v) => v >> 4);
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
