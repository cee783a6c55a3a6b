/// <reference lib="webworker" />
import { greyOf } from "../../model/picture/pixels/grey.ts";
import { PictureError } from "../../model/picture/picture-error.ts";
import {
  alikeLooks,
  comparedPhotograph,
  detailsAgree,
  packedLooks,
} from "../../model/reference/duplicates/near-duplicates.ts";
import { blank } from "./decode.ts";
import { serve } from "./serve.ts";
import type { SetPicturesRequests } from "./set-pictures-protocol.ts";

serve<SetPicturesRequests>(self as unknown as DedicatedWorkerGlobalScope, {
  async ready({ thumbnail: blob }) {
    const bitmap = await createImageBitmap(blob).catch(() => {
      throw new PictureError("decoder-failed", "The small copy of this photograph cannot be read.");
    });
    const { context } = blank(bitmap.width, bitmap.height);
    context.drawImage(bitmap, 0, 0);
    bitmap.close();
    const { data, width, height } = context.getImageData(0, 0, context.canvas.width, context.canvas.height);
    const ready = comparedPhotograph("", "", greyOf({ widthPx: width, heightPx: height, rgba: data }));
    const looks = packedLooks([ready]);
    const thumbnail = new Uint8Array(ready.thumbnail);
    return { output: { looks, thumbnail }, transfer: [looks.buffer, thumbnail.buffer] };
  },
  pairs({ looks, breakOf, fileOf }, onPart) {
    const found = alikeLooks(looks, breakOf, fileOf, onPart);
    const output = Int32Array.from(
      found.flatMap(({ a, b, ways }) => [a, b, ways.reduce((bits, way) => bits | (1 << way), 0)]),
    );
    return Promise.resolve({ output, transfer: [output.buffer] });
  },
  agree({ pairs }) {
    return Promise.resolve({ output: pairs.map(({ a, b, ways }) => detailsAgree(a, b, ways)) });
  },
});
