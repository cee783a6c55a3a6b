import type { SetSource } from "../../model/reference/export/write-set.ts";
import { shownAs } from "../../model/picture/shown-as.ts";
import { blank, decodeFile } from "./decode.ts";

/**
 * A photograph upright, without any data about it. JPEG is packed at full quality: browsers halve the colours below it.
 * Samples of more than 8 bits are drawn as the bench shows them.
 */
export const redrawn: SetSource["redraw"] = async (bytes, photograph, mediaType) => {
  try {
    const bitmap = await decodeFile(new Blob([bytes]), "limits", shownAs(photograph));
    try {
      const { canvas, context } = blank(bitmap.width, bitmap.height);
      if (mediaType === "image/jpeg") {
        context.fillStyle = "#808080";
        context.fillRect(0, 0, bitmap.width, bitmap.height);
      }
      context.drawImage(bitmap, 0, 0);
      const blob = await canvas.convertToBlob({ type: mediaType, quality: 1 });
      return blob.type === mediaType ? new Uint8Array(await blob.arrayBuffer()) : null;
    } finally {
      bitmap.close();
    }
  } catch {
    return null; // Damaged or of a kind that is not decoded here; the report names it.
  }
};
