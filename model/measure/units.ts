/** A length in millimetres. */
export type Millimetres = number & { readonly unit: "mm" };
/** A length in inches. */
export type Inches = number & { readonly unit: "in" };
/** An angle in degrees. */
export type Degrees = number & { readonly unit: "deg" };

/** The length units a person may choose. */
export type LengthUnit = "mm" | "inch" | "AWG";
export const LENGTH_UNITS = ["mm", "inch", "AWG"] as const;

/** @source International yard and pound agreement of 1959: 1 inch = 25.4 mm exactly; from memory. */
export const MM_PER_INCH = 25.4;

export const millimetres = (value: number): Millimetres => value as Millimetres;
export const inches = (value: number): Inches => value as Inches;
export const degrees = (value: number): Degrees => value as Degrees;

export const inchToMm = (value: Inches | number): Millimetres => (value * MM_PER_INCH) as Millimetres;
export const mmToInch = (value: Millimetres | number): Inches => (value / MM_PER_INCH) as Inches;
export const mmToUm = (value: Millimetres | number): number => value * 1000;
export const radToDeg = (rad: number): Degrees => ((rad * 180) / Math.PI) as Degrees;
export const degToRad = (deg: Degrees | number): number => (deg * Math.PI) / 180;

/** Angle between two undirected lines: any angle folded to 0–90°. */
export function foldToRightAngle(deg: number): Degrees {
  const half = ((deg % 180) + 180) % 180;
  return (half > 90 ? 180 - half : half) as Degrees;
}
