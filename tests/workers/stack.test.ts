import { expect, test } from "vitest";
import { originOfRow } from "../../model/picture/stack/compose.ts";
import { HAS_HEIGHT } from "../../model/picture/stack/focus-map.ts";
import { stackFrames } from "../../web/workers/stack-client.ts";

const SIZE = { width: 200, height: 150 };

/** A grainy face of two levels: the left half is sharp in frame 1, the right half in frame 3. */
async function frame(k: number, { width, height } = SIZE): Promise<Blob> {
  const grain = new OffscreenCanvas(width, height);
  const pen = grain.getContext("2d")!;
  for (let n = 0, seed = 9; n < 5000; n++) {
    seed = (Math.imul(seed, 1103515245) + 12345) >>> 0;
    const x = seed % width;
    seed = (Math.imul(seed, 1103515245) + 12345) >>> 0;
    pen.fillStyle = `hsl(30 20% ${(seed >>> 8) % 100}%)`;
    pen.fillRect(x, (seed >>> 16) % height, 3, 3);
  }
  const canvas = new OffscreenCanvas(width, height);
  const to = canvas.getContext("2d")!;
  for (const [from, sharpIn] of [
    [0, 1],
    [width / 2, 3],
  ] as const) {
    to.save();
    to.beginPath();
    to.rect(from, 0, width / 2, height);
    to.clip();
    to.filter = k === sharpIn ? "none" : `blur(${1.2 * Math.abs(k - sharpIn)}px)`;
    to.drawImage(grain, 0, 0);
    to.restore();
  }
  return canvas.convertToBlob({ type: "image/png" });
}
const frames = (count: number) => Promise.all(Array.from({ length: count }, (_, k) => frame(k)));

test("a series becomes one sharp picture whose pixels know their frame", async () => {
  const parts: number[] = [];
  const read = await stackFrames(await frames(5), true, { onPart: (part) => parts.push(part) });
  expect(read.widthPx).toBe(SIZE.width);
  expect(read.placements).toHaveLength(5);
  const origin = new Uint8Array(SIZE.width);
  originOfRow(read.map, 75, read.shrunkBy, origin);
  expect([origin[40], origin[160]]).toEqual([1, 3]);
  expect(read.map.state.filter((s) => s === HAS_HEIGHT).length).toBeGreaterThan(0.6 * read.map.state.length);
  expect(parts.length).toBeGreaterThan(5);
  expect(parts).toEqual([...parts].sort((a, b) => a - b));
  const { composite } = read;
  const bytes = await composite!.blob.arrayBuffer();
  const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
  expect([...digest].map((b) => b.toString(16).padStart(2, "0")).join("")).toBe(composite!.hash);
  const bitmap = await createImageBitmap(composite!.blob);
  expect([bitmap.width, bitmap.height]).toEqual([SIZE.width, SIZE.height]);
  bitmap.close();
  expect(composite!.thumbnail.type).toBe("image/jpeg");
});

test("the same frames are read the same way again, without a picture", async () => {
  const blobs = await frames(5);
  const [once, again] = [await stackFrames(blobs, true), await stackFrames(blobs, false)];
  expect(again.composite).toBeNull();
  expect(again.map).toEqual(once.map);
});

test("frames of another size, too few frames and damaged ones are refused in words", async () => {
  const odd = await frame(1, { width: 220, height: 150 });
  await expect(stackFrames([...(await frames(2)), odd], true)).rejects.toMatchObject({
    code: "frames-do-not-fit",
    message: expect.stringContaining("220 × 150 px") as string,
  });
  await expect(stackFrames(await frames(1), true)).rejects.toMatchObject({ code: "frames-do-not-fit" });
  await expect(stackFrames([await frame(0), new Blob(["no picture"])], true)).rejects.toMatchObject({
    code: "not-a-picture",
  });
});

test("cancelling settles at once", async () => {
  const stop = new AbortController();
  const running = stackFrames(await frames(5), true, { signal: stop.signal });
  stop.abort();
  await expect(running).rejects.toMatchObject({ code: "cancelled" });
});
