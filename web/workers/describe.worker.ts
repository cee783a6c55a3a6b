/// <reference lib="webworker" />
import { describeFace } from "../../model/picture/face/describe-face.ts";
import { greyOf } from "../../model/picture/pixels/grey.ts";
import { DESCRIBED_PX, type DescribeRequests } from "./describe-protocol.ts";
import { rasterOf } from "./raster.ts";
import { serve } from "./serve.ts";

serve<DescribeRequests>(self as unknown as DedicatedWorkerGlobalScope, {
  async describe({ blob, shown, outline }) {
    const { raster, shrunkBy } = await rasterOf(blob, DESCRIBED_PX, shown);
    const { cx, cy, rx, ry } = outline;
    const numbers = describeFace(greyOf(raster), {
      ...outline,
      cx: cx / shrunkBy,
      cy: cy / shrunkBy,
      rx: rx / shrunkBy,
      ry: ry / shrunkBy,
    });
    return { output: numbers, transfer: [numbers.buffer] };
  },
});
