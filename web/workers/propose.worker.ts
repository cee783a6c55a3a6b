/// <reference lib="webworker" />
import { enlarge } from "../../model/picture/propose/enlarge.ts";
import { proposeMarks } from "../../model/picture/propose/propose.ts";
import { LOOKED_AT_PX, type ProposeRequests } from "./propose-protocol.ts";
import { rasterOf } from "./raster.ts";
import { serve } from "./serve.ts";

serve<ProposeRequests>(self as unknown as DedicatedWorkerGlobalScope, {
  async propose({ blob, shown, view, pxPerMm, wireMm }) {
    const { raster, shrunkBy } = await rasterOf(blob, LOOKED_AT_PX, shown);
    const found = proposeMarks({ raster, view, pxPerMm: pxPerMm === null ? null : pxPerMm / shrunkBy, wireMm });
    const marks = found.marks.map((mark) => ({ ...mark, geometry: enlarge(mark.geometry, shrunkBy) }));
    return { output: { ...found, marks } };
  },
});
