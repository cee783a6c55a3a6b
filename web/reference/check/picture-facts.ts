import { readerOf } from "../../../model/picture/byte-reader.ts";
import { readCameraData } from "../../../model/picture/camera-data.ts";
import { readPictureHeader } from "../../../model/picture/sniff.ts";
import type { PictureFacts } from "../../../model/reference/check/check-set.ts";

/** Size and turn of a picture by its header; null = no picture that can be read. */
export async function pictureFacts(bytes: Uint8Array<ArrayBuffer>): Promise<PictureFacts | null> {
  try {
    const reader = readerOf(bytes);
    const header = await readPictureHeader(reader, "whole");
    const { orientation } = await readCameraData(reader, header);
    return { widthPx: header.widthPx, heightPx: header.heightPx, orientation };
  } catch {
    return null; // Told as picture-unreadable, with its path.
  }
}

/** An error of ajv as a sentence. */
export const schemaSentence = ({ instancePath, message }: { instancePath: string; message?: string }): string =>
  `${instancePath || "the whole"} ${message ?? "is not right"}.`;
