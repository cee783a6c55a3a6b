import sharp from "sharp";
import { expect, test } from "vitest";
import { uprightSize, uprightTransform } from "../../model/picture/upright.ts";
import { redrawn } from "../../scripts/reference-set/bench-source.ts";

const [W, H] = [7, 5];
const raw = Uint8Array.from({ length: W * H * 3 }, (_, i) => (i * 37 + 11) % 256);
const stored = (orientation: number) =>
  sharp(raw, { raw: { width: W, height: H, channels: 3 } })
    .withMetadata({ orientation })
    .png()
    .toBuffer();

test.each([1, 2, 3, 4, 5, 6, 7, 8])("orientation %i goes into the pixels, and is 1 afterwards", async (orientation) => {
  const out = await redrawn(Uint8Array.from(await stored(orientation)), orientation, 0, "image/png");
  const { data, info } = await sharp(out).removeAlpha().raw().toBuffer({ resolveWithObject: true });
  const size = uprightSize(W, H, orientation);
  expect([info.width, info.height]).toEqual([size.widthPx, size.heightPx]);
  expect((await sharp(out).metadata()).orientation ?? 1).toBe(1);
  const [a, b, c, d, e, f] = uprightTransform(W, H, orientation);
  for (let y = 0; y < H; y++)
    for (let x = 0; x < W; x++) {
      const [u, v] = [x + 0.5, y + 0.5];
      const at = 3 * (Math.floor(b * u + d * v + f) * info.width + Math.floor(a * u + c * v + e));
      expect([...data.subarray(at, at + 3)]).toEqual([...raw.subarray(3 * (y * W + x), 3 * (y * W + x) + 3)]);
    }
});

test("a JPEG stays a JPEG of the turned size, without a word about its turn", async () => {
  const made = sharp({ create: { width: 60, height: 40, channels: 3, background: "#844" } });
  const bytes = Uint8Array.from(await made.withMetadata({ orientation: 6 }).jpeg().toBuffer());
  const out = await sharp(await redrawn(bytes, 6, 0, "image/jpeg")).metadata();
  expect([out.format, out.width, out.height, out.orientation ?? 1, out.exif]).toEqual(["jpeg", 40, 60, 1, undefined]);
});
