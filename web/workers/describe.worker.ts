/// <reference lib="webworker" />
import { DESCRIBED_PX, describeView } from "../../model/classifier/of-break.ts";
import type { DescribeRequests } from "./describe-protocol.ts";
import { rasterOf } from "./raster.ts";
import { serve } from "./serve.ts";

serve<DescribeRequests>(self as unknown as DedicatedWorkerGlobalScope, {
  async describe({ blob, shown, outline }) {
    const { raster, shrunkBy } = await rasterOf(blob, DESCRIBED_PX, shown);
    const numbers = describeView(raster, outline, shrunkBy);
    return { output: numbers, transfer: [numbers.buffer] };
  },
});
