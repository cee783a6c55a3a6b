import { MeasureError } from "./measure-error.ts";
import { over, reading, scaled, standardUncertainty, times, toUncertain } from "./uncertain.ts";
import type { Quantity, Uncertain } from "./uncertain.ts";

/**
 * Reduction of area at the break from diameter ratios.
 *
 * Strong necking speaks for ductile overload, little for a burst or a void. Z = 100 (S₀ − Sᵤ)/S₀; with one ratio the neck is
 * taken as round, with two (seen 90° apart) as an ellipse: Sᵤ/S₀ = (d₁/D)(d₂/D).
 *
 * @param ratios – neck diameter over wire diameter, one or two directions; shared sources are handled.
 * @returns percent, 0–100. A neck that is not smaller than the wire within k = 2 counts as 0 %, with its uncertainty.
 * @throws MeasureError `diameter-not-positive`, `neck-exceeds-original`, `degenerate-geometry`.
 * @source ISO 6892-1, percentage reduction of area Z; from memory.
 */
export function reductionFromRatios(ratios: readonly [Quantity] | readonly [Quantity, Quantity]): Quantity {
  for (const ratio of ratios)
    if (!(ratio.value > 0))
      throw new MeasureError("diameter-not-positive", "The neck needs a diameter greater than zero. Draw it again.");
  const [first, second = first] = ratios;
  const areaRatio = times(first, second);
  const z: Quantity = scaled(areaRatio, -100);
  const value = 100 + z.value;
  if (value >= 0) return { value, shares: z.shares };
  if (value < -2 * standardUncertainty(z))
    throw new MeasureError(
      "neck-exceeds-original",
      "The neck is wider than the wire. Check that both were measured at the same scale and away from a bulge.",
    );
  return { value: 0, shares: z.shares };
}

/**
 * Reduction of area from diameters in one unit whose readings are independent.
 *
 * u(Z) = 2 (d/D)² √[(u_d/d)² + (u_D/D)²] for one neck.
 *
 * @param original – wire diameter away from the neck. @param necks – smallest diameter in one or two directions.
 * @returns percent, 0–100, with standard uncertainty (k = 1) in percentage points.
 * @throws MeasureError `diameter-not-positive`, `neck-exceeds-original`.
 * @example 2.00 mm to 1.60 mm → 36 %.
 * @source ISO 6892-1, percentage reduction of area Z; from memory.
 */
export function reductionOfArea(
  original: Uncertain,
  necks: readonly [Uncertain] | readonly [Uncertain, Uncertain],
): Uncertain {
  if (!(original.value > 0))
    throw new MeasureError("diameter-not-positive", "The wire needs a diameter greater than zero. Measure it first.");
  const wire = reading("wire", original.value, original.u);
  const first = over(reading("neck-1", necks[0].value, necks[0].u), wire);
  const second = necks.length === 2 ? over(reading("neck-2", necks[1].value, necks[1].u), wire) : null;
  return toUncertain(reductionFromRatios(second === null ? [first] : [first, second]));
}

/**
 * Reduction of area from sections, as a tensile test reports it.
 *
 * @param original – S₀, mm². @param after – Sᵤ, mm².
 * @returns percent.
 * @throws MeasureError `diameter-not-positive`, `neck-exceeds-original`.
 * @source ISO 6892-1, Z = 100 (S₀ − Sᵤ)/S₀; from memory.
 */
export function reductionFromSections(original: Uncertain, after: Uncertain): Uncertain {
  if (!(original.value > 0) || !(after.value > 0))
    throw new MeasureError("diameter-not-positive", "Both sections must be greater than zero.");
  const share = over(reading("after", after.value, after.u), reading("original", original.value, original.u));
  const u = 100 * standardUncertainty(share);
  const value = 100 * (1 - share.value);
  if (value < -2 * u)
    throw new MeasureError("neck-exceeds-original", "The section after the test is larger than before. Check both.");
  return { value: Math.max(0, value), u };
}

/**
 * RA ratio: reduction of area at the break over that of a sound pull of the same wire.
 *
 * @param reference – percent; its u null or 0 = not stated, then only the break's part is in the result.
 * @throws MeasureError `diameter-not-positive` when the reference is not greater than zero.
 */
export function ratioToReference(
  z: Quantity,
  reference: { readonly value: number; readonly u: number | null },
): Quantity {
  if (!(reference.value > 0))
    throw new MeasureError("diameter-not-positive", "The reference pull needs a reduction of area greater than zero.");
  return over(z, reading("reference-pull", reference.value, reference.u ?? 0));
}
