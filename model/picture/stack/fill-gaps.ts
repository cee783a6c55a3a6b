/**
 * Closes the gaps (NaN) of a grid from around: known cells are averaged over ever larger squares until every gap
 * has some, and the gaps take the smallest square that reaches them, read smoothly.
 *
 * @param otherwise – value when the grid has none at all.
 */
export function fillGaps(grid: Float32Array, columns: number, rows: number, otherwise: number): Float32Array {
  let known = false;
  let gaps = false;
  for (const v of grid)
    if (v === v) known = true;
    else gaps = true;
  if (!known) return new Float32Array(grid.length).fill(otherwise);
  if (!gaps) return grid;
  const w = Math.ceil(columns / 2);
  const h = Math.ceil(rows / 2);
  const coarse = new Float32Array(w * h);
  for (let j = 0; j < h; j++)
    for (let i = 0; i < w; i++) {
      let sum = 0;
      let count = 0;
      for (let y = 2 * j; y < Math.min(rows, 2 * j + 2); y++)
        for (let x = 2 * i; x < Math.min(columns, 2 * i + 2); x++) {
          const v = grid[y * columns + x]!;
          if (v === v) {
            sum += v;
            count++;
          }
        }
      coarse[j * w + i] = count > 0 ? sum / count : Number.NaN;
    }
  const filled = fillGaps(coarse, w, h, otherwise);
  const out = Float32Array.from(grid);
  for (let j = 0; j < rows; j++)
    for (let i = 0; i < columns; i++) {
      if (grid[j * columns + i]! === grid[j * columns + i]!) continue;
      const u = Math.min(w - 1, Math.max(0, (i + 0.5) / 2 - 0.5));
      const v = Math.min(h - 1, Math.max(0, (j + 0.5) / 2 - 0.5));
      const [x0, y0] = [Math.floor(u), Math.floor(v)];
      const [x1, y1] = [Math.min(w - 1, x0 + 1), Math.min(h - 1, y0 + 1)];
      const [a, b] = [u - x0, v - y0];
      out[j * columns + i] =
        (filled[y0 * w + x0]! * (1 - a) + filled[y0 * w + x1]! * a) * (1 - b) +
        (filled[y1 * w + x0]! * (1 - a) + filled[y1 * w + x1]! * a) * b;
    }
  return out;
}
