/** Density of a normal variable. @source definition */
export const normalDensity = (x: number, mean: number, sd: number): number =>
  Math.exp(-0.5 * ((x - mean) / sd) ** 2) / (sd * Math.sqrt(2 * Math.PI));

/** Rises from 0 to 1 around 0. @source definition */
export const logistic = (x: number): number => 1 / (1 + Math.exp(-x));
