/** A square matrix as rows. */
export type Matrix = readonly (readonly number[])[];

/**
 * Inverse of a small matrix by Gauss–Jordan elimination with row exchange.
 *
 * @returns null when the matrix is singular to working precision.
 */
export function inverse(matrix: Matrix): number[][] | null {
  const n = matrix.length;
  const a = matrix.map((row, i) => [...row, ...Array.from({ length: n }, (_, j) => (i === j ? 1 : 0))]);
  const size = Math.max(...matrix.flat().map(Math.abs));
  for (let column = 0; column < n; column++) {
    let best = column;
    for (let row = column + 1; row < n; row++)
      if (Math.abs(at(a, row, column)) > Math.abs(at(a, best, column))) best = row;
    const pivotRow = a[best] ?? [];
    const pivot = pivotRow[column] ?? 0;
    if (!(Math.abs(pivot) > size * 1e-14)) return null;
    a[best] = a[column] ?? [];
    const scaledRow = pivotRow.map((v) => v / pivot);
    a[column] = scaledRow;
    for (let row = 0; row < n; row++) {
      if (row === column) continue;
      const factor = at(a, row, column);
      if (factor !== 0) a[row] = (a[row] ?? []).map((v, j) => v - factor * (scaledRow[j] ?? 0));
    }
  }
  return a.map((row) => row.slice(n));
}

const at = (m: Matrix, row: number, column: number): number => m[row]?.[column] ?? 0;

export const multiply = (a: Matrix, b: Matrix): number[][] =>
  a.map((row) => (b[0] ?? []).map((_, j) => row.reduce((sum, v, k) => sum + v * at(b, k, j), 0)));

export const transpose = (m: Matrix): number[][] => (m[0] ?? []).map((_, j) => m.map((row) => row[j] ?? 0));

/** Largest-to-smallest real roots of x³ + a x² + b x + c. */
export function realCubicRoots(a: number, b: number, c: number): number[] {
  const shift = a / 3;
  const p = b - (a * a) / 3;
  const q = (2 * a ** 3) / 27 - (a * b) / 3 + c;
  const discriminant = (q / 2) ** 2 + (p / 3) ** 3;
  if (discriminant > 0) {
    const root = Math.sqrt(discriminant);
    return [Math.cbrt(-q / 2 + root) + Math.cbrt(-q / 2 - root) - shift];
  }
  const radius = 2 * Math.sqrt(-p / 3);
  if (radius === 0) return [-shift];
  const angle = Math.acos(Math.max(-1, Math.min(1, (3 * q) / (p * radius))));
  return [0, 1, 2].map((k) => radius * Math.cos((angle - 2 * Math.PI * k) / 3) - shift).sort((x, y) => y - x);
}
