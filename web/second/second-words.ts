import type { NotServed } from "../../model/reference/second/queue.ts";

/** Why a break cannot be read by the one who asks for it. */
export const NOT_SERVED: Readonly<Record<NotServed, string>> = {
  "own-label": "You have stated the type of this break yourself, so you cannot read it blind.",
  "own-marks": "You have marked this break yourself, so you cannot read it blind.",
  "read-already": "You have read this break already. A second reading is made once and is not changed.",
  "no-photograph": "No photograph of this break is on this bench, so there is nothing to read.",
  "not-labelled": "Nobody has stated the type of this break yet.",
  "one-end-only": "Only one end of this break is photographed.",
  filtered: "This break is outside of what was asked for.",
  "in-the-bin": "This break lies in the bin.",
};

/** The same for several, after their count. */
export const NOT_SERVED_COUNT: Readonly<Record<NotServed, string>> = {
  "own-label": "you have judged yourself",
  "own-marks": "you have marked yourself",
  "read-already": "you have read already",
  "no-photograph": "without a photograph",
  "not-labelled": "that nobody has judged yet",
  "one-end-only": "with one end photographed only",
  filtered: "outside of these machines and days",
  "in-the-bin": "in the bin",
};

export const breaks = (count: number): string => (count === 1 ? "1 break" : `${count} breaks`);
