/// <reference lib="webworker" />
import { PictureError } from "../../model/picture/picture-error.ts";
import { addFrame } from "../../model/picture/stack/compose.ts";
import { focusMap } from "../../model/picture/stack/focus-map.ts";
import { enlarged } from "../../model/picture/stack/placement.ts";
import { readSeries } from "../../model/picture/stack/series.ts";
import { losslessOf, thumbnailOf } from "./copies.ts";
import { serve } from "./serve.ts";
import { FrameReader, shrinkFor } from "./stack-frames.ts";
import type { Composite, ReadStack, StackRequests } from "./stack-protocol.ts";

/**
 * Two passes over the files, so that a long series of large frames never lies in memory at once: the first judges
 * focus, the second picks pixels. At a time there are one decoded frame, the composite and the focus curves: about
 * 12 bytes a pixel of the photograph plus a quarter of a byte a pixel worked on and frame.
 */
serve<StackRequests>(self as unknown as DedicatedWorkerGlobalScope, {
  async stack({ frames, compose }, onPart) {
    const reader = new FrameReader(frames);
    const passes = compose ? 2 * frames.length + 1 : frames.length;
    const series = await readSeries(
      frames.length,
      (k) => reader.grey(k),
      (done) => onPart(done / passes),
    );
    const { widthPx, heightPx } = reader.size;
    const shrunkBy = shrinkFor(widthPx, heightPx);
    const map = focusMap(series.volume);
    const read: ReadStack = {
      map,
      placements: series.placements.map((p) => enlarged(p, shrunkBy)),
      reference: series.reference,
      shrunkBy,
      widthPx,
      heightPx,
      breathing: Math.max(...series.placements.map((p) => Math.abs(p.scale - 1))),
      worstFit: series.worstFit,
    };
    const composite = compose ? await composed(reader, read, (done) => onPart((frames.length + done) / passes)) : null;
    const transfer = [map.at.buffer, map.u.buffer, map.state.buffer, map.frame.buffer] as ArrayBuffer[];
    return { output: { ...read, composite }, transfer };
  },
});

async function composed(reader: FrameReader, read: ReadStack, onFrame: (done: number) => void): Promise<Composite> {
  const { widthPx, heightPx, map, placements, shrunkBy } = read;
  const image = new ImageData(widthPx, heightPx);
  const used = new Set(map.frame);
  for (let k = 0; k < placements.length; k++) {
    // A frame between two used ones may be the origin of pixels between cells.
    const placement = placements[k];
    if (placement && (used.has(k) || (used.has(k - 1) && used.has(k + 1))))
      addFrame(image.data, map, k, await reader.raster(k), placement, shrunkBy);
    onFrame(k + 1);
  }
  const bitmap = await createImageBitmap(image);
  try {
    const blob = await losslessOf(bitmap);
    const digest = await crypto.subtle.digest("SHA-256", await blob.arrayBuffer());
    const hash = [...new Uint8Array(digest)].map((byte) => byte.toString(16).padStart(2, "0")).join("");
    return { blob, hash, thumbnail: await thumbnailOf(bitmap) };
  } catch (error) {
    if (error instanceof PictureError) throw error;
    throw new PictureError("decoder-failed", "The composite could not be written as a picture.");
  } finally {
    bitmap.close();
  }
}
