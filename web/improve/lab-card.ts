import { readableTime } from "../shell/clock.ts";

/** Breaks that are learnt from: the lab's own, and invented rendered ones where they were asked for. */
export interface LearntFrom {
  readonly own: number;
  readonly demo: number;
}

const count = (n: number, of: string): string => `${n} ${n === 1 ? of : `${of}s`}`;

/** @param breaks – how many breaks of the frozen test part were kept from learning. */
export const heldBackWords = (breaks: number): string =>
  `${count(breaks, "break")} of the frozen test part ${breaks === 1 ? "was" : "were"} not learnt from.`;

/**
 * What a model that is learnt here says of itself.
 *
 * @param now – ISO 8601 @param heldBack – as for `heldBackWords`
 */
export function labCard({ own, demo }: LearntFrom, now: string, heldBack = 0) {
  const parts = [
    ...(own > 0 ? [count(own, "confirmed break") + " of this lab"] : []),
    ...(demo > 0 ? [count(demo, "invented, rendered demo break")] : []),
  ];
  const limits = [
    "It knows the wire, the machines and the microscope of this lab alone; elsewhere its figures do not hold.",
    "Its figures come from breaks left out while learning, confirmed by the same readers.",
    ...(heldBack > 0 ? [heldBackWords(heldBack)] : []),
  ];
  const rendered = "It learnt from rendered images too: it is not validated on photographs of real breaks.";
  return {
    name: `learnt here, ${readableTime(now)}`,
    trainedAt: now,
    trainedOn: parts.join(" and "),
    limits: demo > 0 ? [rendered, ...limits] : limits,
  };
}
