import type { Kappa } from "../../model/reference/agreement/kappa.ts";
import type { Figure } from "../../model/reference/second/figures.ts";

export const percent = (share: number): string => `${Math.round(100 * share)} %`;
/** Two decimals and a true minus. */
export const two = (value: number): string => value.toFixed(2).replace("-", "−");
export const interval = ({ low, high }: { readonly low: number; readonly high: number }): string =>
  `${two(low)} to ${two(high)}`;

/** Why there is no figure, in words; null when there is one. */
export function whyNone<T>(figure: Figure<T>, of = "breaks"): string | null {
  if (!("none" in figure)) return null;
  return figure.none === "too-few"
    ? `too few ${of}: ${figure.have} of at least ${figure.need}`
    : "every reading gave one and the same answer, so nothing can be said beyond chance";
}

/** What a kappa with its interval says, for somebody who has not met one. */
export function kappaSays({ low, high }: Pick<Kappa, "low" | "high">): string {
  const wide = high - low > 0.4 ? " The interval is wide: more breaks read twice would narrow it." : "";
  if (low <= 0) return `The interval reaches 0, so agreement by chance alone is not ruled out.${wide}`;
  return `Even the low end of the interval is better than chance.${wide}`;
}
