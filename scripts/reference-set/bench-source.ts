import sharp from "sharp";
import type { SetSource, SourceBreak } from "../../model/reference/export/write-set.ts";
import { uprightTransform } from "../../model/picture/upright.ts";
import type { CheckedBenchFile } from "../../web/storage/check-bench-file.ts";
import { readBreakFile } from "../../web/storage/read-break-file.ts";
import { sha256Hex } from "../../web/storage/canonical.ts";
import { readFile } from "../../web/storage/zip-reading.ts";
import { cropNode } from "./crop-node.ts";

export interface BenchSource extends SetSource {
  readonly ids: readonly string[];
}

/** A checked bench file as the source of a set. Breaks and originals are unpacked when asked for, one at a time. */
export async function benchSource(checked: CheckedBenchFile): Promise<BenchSource> {
  const paths = new Map<string, (typeof checked.breaks)[number]>();
  const read = async (entry: (typeof checked.breaks)[number]): Promise<SourceBreak> => {
    const file = readBreakFile(entry.filename, await readFile(entry, undefined, true));
    return { record: file.record, log: file.log, file };
  };
  for (const entry of checked.breaks) paths.set((await read(entry)).record.id, entry);
  return {
    ids: [...paths.keys()].sort(),
    breakOf: (id) => {
      const entry = paths.get(id);
      if (entry === undefined) throw new Error(`There is no break ${id} in the bench file.`);
      return read(entry);
    },
    async original(hash) {
      const found = checked.originals.get(hash);
      if (found === undefined) return null;
      const bytes = await readFile(found.entry, undefined, true);
      return (await sha256Hex(bytes)) === hash ? bytes : null;
    },
    redraw: async (bytes, { orientation, page }, mediaType) => {
      try {
        return await redrawn(bytes, orientation, page ?? 0, mediaType);
      } catch {
        return null; // Damaged or of a kind that is not decoded here; the report names it.
      }
    },
    crop: cropNode,
  };
}

/** Lossless turn of the pixels; JPEG is packed again at quality 95 without halving its colours. */
export async function redrawn(
  bytes: Uint8Array<ArrayBuffer>,
  orientation: number,
  page: number,
  mediaType: string,
): Promise<Uint8Array<ArrayBuffer>> {
  const plain = sharp(bytes, { page, failOn: "truncated" });
  const { width, height } = await plain.metadata();
  const [a, b, c, d] = uprightTransform(width, height, orientation);
  // The transform as a mirror and a turn by quarters: where the stored x axis and y axis go.
  const mirrored = a * d - b * c < 0;
  const turn = (Math.round(Math.atan2(b, a) / (Math.PI / 2)) * 90 + 360) % 360;
  let picture = plain.keepIccProfile();
  // A mirror of up and down, then a turn that brings the x axis to its place.
  if (mirrored) picture = sharp(await picture.flip().png({ compressionLevel: 1 }).keepIccProfile().toBuffer());
  const turned = picture.rotate(turn).keepIccProfile();
  const written = mediaType === "image/jpeg" ? turned.jpeg({ quality: 95, chromaSubsampling: "4:4:4" }) : turned.png();
  return Uint8Array.from(await written.toBuffer());
}
