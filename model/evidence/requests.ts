import type { Observations } from "./observations.ts";
import type { ActionRequest } from "./suggestion.ts";
import type { Weighing } from "./weigh.ts";

export function nextActions(_o: Observations, _w: Weighing): readonly ActionRequest[] {
  return [];
}
