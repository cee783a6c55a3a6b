import type { DeepTone } from "./deep-tone.ts";

/** Which page of a file is looked at, and how its deep samples become 8 bits; the record of a photograph says so. */
export interface ShownAs {
  /** From 0; left out = the first. */
  readonly page?: number | undefined;
  /** Left out = chosen from the pixels, as at intake. Means nothing for 8-bit files. */
  readonly deepTone?: DeepTone | undefined;
}

/** As a file comes in, before anyone chose anything. */
export const AS_IT_COMES: ShownAs = {};

/** @returns only what says how the photograph is looked at, small enough for a message between threads. */
export const shownAs = ({ page, deepTone }: ShownAs): ShownAs => ({
  ...(page === undefined ? {} : { page }),
  ...(deepTone === undefined ? {} : { deepTone }),
});

/** @returns a short text that is the same exactly when two pictures of one file look the same. */
export function shownKey({ page = 0, deepTone }: ShownAs): string {
  return deepTone === undefined ? String(page) : `${String(page)}/${String(deepTone.black)}/${String(deepTone.white)}`;
}
