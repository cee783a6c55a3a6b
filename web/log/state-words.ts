import type { LogState } from "./row.ts";

export const STATE_WORDS: Readonly<Record<LogState, string>> = {
  undecided: "Undecided",
  open: "Suggested, open",
  confirmed: "Confirmed",
  binned: "In the bin",
};
