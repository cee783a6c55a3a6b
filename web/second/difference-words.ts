import { featureSpec } from "../../model/evidence/features.ts";
import type { StrongDifference } from "../../model/reference/second/compare-marks.ts";
import type { PairRead } from "../../model/reference/second/read-break.ts";
import { capital, SIDE_NAME, typeName } from "../bench/words.ts";
import { percent, two } from "./figure-words.ts";

/** Where a disagreement stands, in words. */
export function settlementWords(settlement: PairRead["settlement"]): string {
  if (settlement.state === "open") return "open";
  const { type, by, reason } = settlement;
  return settlement.state === "reopened" || type === null
    ? `re-opened by ${by}: ${reason}`
    : `settled as ${typeName(type)} by ${by}${reason === "" ? "" : `: ${reason}`}`;
}

export function strongWord(difference: StrongDifference): string {
  if (difference.by === "few-in-common") return `${percent(difference.share)} of what was drawn was drawn by both`;
  const { name } = featureSpec(difference.feature);
  const where = `${name}, ${SIDE_NAME[difference.side]}`;
  if (difference.by === "opposite") return `${where}: seen by one, looked for and absent by the other`;
  return difference.by === "shape"
    ? `${where}: the outlines have ${percent(difference.iou)} in common`
    : `${where}: ${two(difference.distanceD)} wire diameters apart`;
}

/** At most two of them; the rest is counted. */
export function strongWords(list: readonly StrongDifference[]): string {
  const first = list.slice(0, 2).map(strongWord).join("; ");
  return capital(list.length > 2 ? `${first}; and ${list.length - 2} more` : first);
}
