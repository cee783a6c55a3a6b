import type { TiffLayout } from "./tiff-layout.ts";
import { blockRowBytes, samplesTogether } from "./tiff-layout.ts";

/** The samples of one strip or tile, row by row, without padding. */
export type BlockSamples =
  Uint8Array | Uint16Array | Int16Array | Uint32Array | Int32Array | Float32Array | Float64Array;

const HOST_IS_LITTLE = new Uint8Array(Uint16Array.of(1).buffer)[0] === 1;

/**
 * Turns the unpacked bytes of a block into samples: byte order, predictor, packed bits.
 * @param raw – exactly the bytes of the block; changed in place.
 * @source TIFF 6.0 (1992), sections 14 (horizontal differencing) and 19; Adobe Photoshop TIFF Technical Note 3 (2005),
 * floating-point predictor, from memory.
 */
export function samplesOfBlock(raw: Uint8Array, layout: TiffLayout): BlockSamples {
  const { bits, format, predictor } = layout;
  const step = samplesTogether(layout);
  const stride = layout.blockWidthPx * step;
  if (bits === 8) {
    if (predictor === 2) addDifferences(raw, stride, step);
    return raw;
  }
  if (bits < 16) return widened(raw, bits, stride, blockRowBytes(layout));
  const bytes = bits / 8;
  if (predictor === 3) joinFloatBytes(raw, stride, step, bytes);
  else if (layout.littleEndian !== HOST_IS_LITTLE) swapBytes(raw, bytes);
  const { buffer, byteOffset } = raw;
  const count = raw.length / bytes;
  if (bits === 64) return new Float64Array(buffer, byteOffset, count);
  if (bits === 16) {
    const samples = new Uint16Array(buffer, byteOffset, count);
    if (predictor === 2) addDifferences(samples, stride, step);
    return format === "signed" ? new Int16Array(buffer, byteOffset, count) : samples;
  }
  // Floats are differenced as whole numbers of their bits.
  const samples = new Uint32Array(buffer, byteOffset, count);
  if (predictor === 2) addDifferences(samples, stride, step);
  if (format === "float") return new Float32Array(buffer, byteOffset, count);
  return format === "signed" ? new Int32Array(buffer, byteOffset, count) : samples;
}

/** Each sample was stored as the difference to its left neighbour; sums wrap at the size of the array's values. */
function addDifferences(samples: Uint8Array | Uint16Array | Uint32Array, stride: number, step: number): void {
  for (let row = 0; row < samples.length; row += stride) {
    const end = Math.min(row + stride, samples.length);
    for (let i = row + step; i < end; i++) samples[i] = samples[i]! + samples[i - step]!;
  }
}

/** A row holds all highest bytes, then all next ones …, each the difference to the byte one pixel before. */
function joinFloatBytes(raw: Uint8Array, stride: number, step: number, bytes: number): void {
  const rowBytes = stride * bytes;
  const planes = new Uint8Array(rowBytes);
  for (let row = 0; row < raw.length; row += rowBytes) {
    planes.set(raw.subarray(row, row + rowBytes));
    for (let i = step; i < rowBytes; i++) planes[i] = planes[i]! + planes[i - step]!;
    for (let plane = 0; plane < bytes; plane++) {
      const at = HOST_IS_LITTLE ? bytes - 1 - plane : plane;
      for (let i = 0, to = row + at; i < stride; i++, to += bytes) raw[to] = planes[plane * stride + i]!;
    }
  }
}

function swapBytes(raw: Uint8Array, bytes: number): void {
  for (let at = 0; at < raw.length; at += bytes) raw.subarray(at, at + bytes).reverse();
}

/** Samples of 1 to 14 bits, highest bit first; rows start at whole bytes. */
function widened(raw: Uint8Array, bits: number, stride: number, rowBytes: number): Uint8Array | Uint16Array {
  const rows = raw.length / rowBytes;
  const samples = bits < 8 ? new Uint8Array(rows * stride) : new Uint16Array(rows * stride);
  const mask = (1 << bits) - 1;
  for (let y = 0, to = 0; y < rows; y++) {
    let at = y * rowBytes;
    let held = 0;
    let filled = 0;
    for (let x = 0; x < stride; x++) {
      for (; filled < bits; filled += 8) held = ((held << 8) | raw[at++]!) & 0xff_ffff;
      filled -= bits;
      samples[to++] = (held >> filled) & mask;
    }
  }
  return samples;
}
