import type { SetBreak } from "../../../model/reference/member.ts";

/** A member of a set with what a test does not care about filled in. */
export const setBreak = (id: string, over: Partial<SetBreak> = {}): SetBreak => ({
  id,
  number: id.toUpperCase(),
  type: "central_burst",
  cast: null,
  coil: null,
  metal: "copper",
  diameterMm: 1.6,
  machine: "RB-1",
  lights: [],
  hashes: [`${id}-1`, `${id}-2`],
  invented: false,
  ...over,
});
