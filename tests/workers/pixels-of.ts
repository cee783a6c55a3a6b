import type { DecodedPicture } from "../../web/workers/protocol.ts";

/** @returns rows × columns × RGB of a bitmap. */
export function rgbOf(bitmap: ImageBitmap): Uint8Array {
  const context = new OffscreenCanvas(bitmap.width, bitmap.height).getContext("2d");
  if (!context) throw new Error("no canvas");
  context.drawImage(bitmap, 0, 0);
  const { data } = context.getImageData(0, 0, bitmap.width, bitmap.height);
  return Uint8Array.from(data.filter((_, i) => i % 4 !== 3));
}

/** @returns mean absolute difference of two lists of equal length, 0–255. */
export function meanDifference(a: Uint8Array, b: Uint8Array): number {
  if (a.length !== b.length) throw new Error(`${String(a.length)} against ${String(b.length)} values`);
  return a.reduce((sum, value, i) => sum + Math.abs(value - (b[i] ?? 0)), 0) / a.length;
}

/** Bitmaps must not outlive their test. */
export function close({ bitmap, levels }: DecodedPicture): void {
  for (const one of [bitmap, ...levels]) one.close();
}
