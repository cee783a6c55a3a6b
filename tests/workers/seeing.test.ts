import { afterEach, expect, test } from "vitest";
import { see } from "../../model/picture/seeing/see.ts";
import { PLAIN_VIEW, type ViewSettings } from "../../model/picture/view-settings.ts";
import { SeeingAidsReader, type SeenPhotograph } from "../../web/workers/seeing-aids.ts";
import { createSeeingClient, type SeeingClient } from "../../web/workers/seeing-client.ts";

const W = 600;
const H = 400;
let client: SeeingClient | null = null;
let bitmaps: ImageBitmap[] = [];
afterEach(() => {
  client?.close();
  client = null;
  for (const bitmap of bitmaps) bitmap.close();
  bitmaps = [];
});
const opened = (): SeeingClient => (client ??= createSeeingClient());
const kept = <T extends ImageBitmap>(bitmap: T): T => {
  bitmaps.push(bitmap);
  return bitmap;
};

type Colour = (x: number, y: number) => readonly [number, number, number];
function pixels(colour: Colour): ImageData {
  const image = new ImageData(W, H);
  for (let y = 0; y < H; y++) for (let x = 0; x < W; x++) image.data.set([...colour(x, y), 255], (y * W + x) * 4);
  return image;
}
const bitmapOf = async (colour: Colour) => kept(await createImageBitmap(pixels(colour)));
async function fileOf(colour: Colour): Promise<Blob> {
  const canvas = new OffscreenCanvas(W, H);
  canvas.getContext("2d")?.putImageData(pixels(colour), 0, 0);
  return canvas.convertToBlob({ type: "image/png" });
}
function pixelsOf(bitmap: ImageBitmap): Uint8ClampedArray {
  const context = new OffscreenCanvas(bitmap.width, bitmap.height).getContext("2d");
  if (!context) throw new Error("no canvas");
  context.drawImage(bitmap, 0, 0);
  return context.getImageData(0, 0, bitmap.width, bitmap.height).data;
}
/** How many values differ. */
const unlike = (a: ArrayLike<number>, b: ArrayLike<number>): number =>
  a.length === b.length ? Array.from(a).filter((v, i) => v !== b[i]).length : Infinity;
const metal: Colour = (x, y) => [(x * 7 + y * 3) % 200, (x * 5 + y * 11) % 180, (x + y * 2) % 160];
const photograph: SeenPhotograph = { hash: "0".repeat(64), widthPx: W, heightPx: H };
const settings = (patch: Partial<ViewSettings>): ViewSettings => ({ ...PLAIN_VIEW, ...patch });
const NONE = { field: null, gains: null };

test("a photograph seen in the thread has the pixels of the model, and the one given is left as it was", async () => {
  const bitmap = await bitmapOf(metal);
  const wanted = settings({ exposureEv: 0.7, contrast: 0.2, localContrast: 0.4 });
  const [shown, ...halves] = await opened().see(bitmap, wanted, NONE, { levels: true });
  if (!shown) throw new Error("no picture");
  [shown, ...halves].forEach(kept);
  expect([shown.width, shown.height, halves.map((h) => h.width)]).toEqual([W, H, [300]]);
  const before = { widthPx: W, heightPx: H, rgba: pixels(metal).data };
  expect(unlike(pixelsOf(shown), see(before, wanted, NONE).rgba)).toBe(0);
  expect(unlike(pixelsOf(bitmap), before.rgba)).toBe(0);
});

test("a blank frame and a grey patch make an unevenly and warmly lit grey even and neutral", async () => {
  const lit: Colour = (x) => [200 - x / 8, 180 - x / 8, 150 - x / 8].map(Math.round) as [number, number, number];
  const blob = await fileOf(lit);
  const reader = new SeeingAidsReader(opened(), () => Promise.resolve(blob));
  const bitmap = await bitmapOf(lit);
  const neutral = { x: 400, y: 200, radiusPx: 12 };
  const wanted = settings({ flatField: { hash: "1".repeat(64), fileName: "blank.png" }, neutral });
  const { aids, faults } = await reader.read(photograph, wanted, bitmap);
  expect(faults).toEqual([]);
  const [shown] = await opened().see(bitmap, wanted, aids, { quick: true });
  const data = pixelsOf(kept(shown!));
  for (const [x, y] of [
    [3, 3],
    [590, 390],
    [300, 200],
  ] as const) {
    const [r, g, b] = data.slice((y * W + x) * 4, (y * W + x) * 4 + 3);
    expect(Math.max(r!, g!, b!) - Math.min(r!, g!, b!)).toBeLessThanOrEqual(2);
  }
});

test("what is refused leaves the rest and says why in words", async () => {
  const bitmap = await bitmapOf(metal);
  const wire = await fileOf((x, y) => ((x - 300) ** 2 + (y - 200) ** 2 < 120 ** 2 ? [220, 200, 180] : [150, 150, 150]));
  const flatField = { hash: "1".repeat(64), fileName: "wire.png" };
  const reader = new SeeingAidsReader(opened(), () => Promise.resolve(wire));
  const outside = settings({ flatField, neutral: { x: -90, y: 5, radiusPx: 4 } });
  expect(await reader.read(photograph, outside, bitmap)).toEqual({
    aids: NONE,
    faults: [
      "Flat field not used. The blank frame is not blank: something can be seen on it.",
      "Grey patch not used. The grey patch does not lie on the photograph.",
    ],
  });
  const missing = new SeeingAidsReader(opened(), () => Promise.resolve(null));
  expect((await missing.read(photograph, settings({ flatField }), bitmap)).faults).toEqual([
    "Flat field not used. The blank frame wire.png is not on this disk.",
  ]);
  const grey = new SeeingAidsReader(opened(), async () => fileOf(() => [128, 128, 128]));
  await expect(grey.field("2".repeat(64), { ...photograph, widthPx: 640 })).rejects.toMatchObject({
    code: "blank-size-differs",
  });
});

test("a preview that was overtaken is cancelled", async () => {
  const bitmap = await bitmapOf(metal);
  const stop = new AbortController();
  const first = opened().see(bitmap, settings({ exposureEv: 1 }), NONE, { quick: true, signal: stop.signal });
  stop.abort();
  await expect(first).rejects.toMatchObject({ code: "cancelled" });
});
