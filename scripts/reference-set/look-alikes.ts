import sharp from "sharp";
import type { SetSource } from "../../model/reference/export/write-set.ts";
import type { SetBreak } from "../../model/reference/member.ts";
import {
  type ComparedPhotograph,
  comparedPhotograph,
  type NearDuplicate,
  nearDuplicates,
} from "../../model/reference/duplicates/near-duplicates.ts";
import { greyOf } from "../../model/picture/pixels/grey.ts";

/** Photographs of different breaks that look like one. One original is in memory at a time. */
export async function lookAlikes(source: SetSource, breaks: readonly SetBreak[]): Promise<readonly NearDuplicate[]> {
  const compared: ComparedPhotograph[] = [];
  for (const member of breaks)
    for (const hash of member.hashes) {
      const bytes = await source.original(hash);
      if (bytes === null) continue;
      try {
        const { data, info } = await sharp(bytes)
          .resize({ width: 320, height: 320, fit: "inside" })
          .toColourspace("srgb")
          .ensureAlpha()
          .raw()
          .toBuffer({ resolveWithObject: true });
        const grey = greyOf({ widthPx: info.width, heightPx: info.height, rgba: data });
        compared.push(comparedPhotograph(hash, member.id, grey));
      } catch {
        continue; // What cannot be decoded cannot be compared; the export names it.
      }
    }
  return nearDuplicates(compared);
}
