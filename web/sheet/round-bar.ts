/** A scale bar of a round length, about a fifth of the picture, in the unit the person reads. */
export function roundBar(
  widthMm: number,
  unit: "mm" | "inch" | "AWG",
): { readonly mm: number; readonly label: string } {
  const perUnit = unit === "mm" ? 1 : 25.4;
  const aim = widthMm / perUnit / 5;
  const power = 10 ** Math.floor(Math.log10(aim));
  const step = [1, 2, 5, 10].reduce(
    (best, s) => (Math.abs(s * power - aim) < Math.abs(best * power - aim) ? s : best),
    1,
  );
  const length = step * power;
  const decimals = Math.max(0, -Math.floor(Math.log10(length) + 1e-9));
  return { mm: length * perUnit, label: `${length.toFixed(decimals)} ${unit === "mm" ? "mm" : "in"}` };
}
