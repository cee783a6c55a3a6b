import type { Photograph } from "../../model/break/wire-break.ts";
import { pxPerMm } from "../../model/measure/scale.ts";

/** The scale of a photograph as it stands on the sheet: value, where from, and the calibration behind it. */
export function scaleRecord({ scale }: Pick<Photograph, "scale">): string {
  const known = pxPerMm(scale);
  if (scale === null || known === null) return "none";
  const u = known.uStated ? ` ± ${(2 * known.u).toFixed(2)}` : "";
  if (scale.method !== "profile") return `${known.value.toFixed(2)}${u} px/mm, ${known.description}`;
  const { pxPerMmY: y, calibration } = scale;
  const upright = y === undefined ? "" : ` across, ${y.value.toFixed(2)} ± ${(2 * y.u).toFixed(2)} px/mm upright`;
  const read =
    calibration === undefined ? "" : `, read ${calibration.at.slice(0, 10)}, due ${calibration.dueAt.slice(0, 10)}`;
  return `${known.value.toFixed(2)}${u} px/mm${upright}, ${known.description}${read}`;
}
