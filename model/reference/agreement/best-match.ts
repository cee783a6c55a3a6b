/**
 * Pairs rows with columns so that the sum of what the pairs are worth is the largest there is. A pair worth 0 or less
 * is never made.
 *
 * @param worth – `worth[i][j]`, finite.
 * @returns for each row its column, or -1.
 * @source Kuhn 1955 (Nav. Res. Logist. Q. 2, 83), in the form with potentials and shortest paths; from memory.
 */
export function bestMatch(worth: readonly (readonly number[])[]): readonly number[] {
  const rows = worth.length;
  const columns = worth[0]?.length ?? 0;
  const size = Math.max(rows, columns);
  const cost = (i: number, j: number): number => -Math.max(0, worth[i]?.[j] ?? 0);
  // Places from 1; 0 stands for "none yet".
  const rowHeight = new Float64Array(size + 1);
  const columnHeight = new Float64Array(size + 1);
  const rowOf = new Int32Array(size + 1);
  const from = new Int32Array(size + 1);
  for (let i = 1; i <= size; i++) {
    rowOf[0] = i;
    let at = 0;
    const least = new Float64Array(size + 1).fill(Infinity);
    const used = new Uint8Array(size + 1);
    do {
      used[at] = 1;
      const row = rowOf[at]!;
      let step = Infinity;
      let nearest = 0;
      for (let j = 1; j <= size; j++) {
        if (used[j]) continue;
        const left = cost(row - 1, j - 1) - rowHeight[row]! - columnHeight[j]!;
        if (left < least[j]!) {
          least[j] = left;
          from[j] = at;
        }
        if (least[j]! < step) {
          step = least[j]!;
          nearest = j;
        }
      }
      for (let j = 0; j <= size; j++)
        if (used[j]) {
          rowHeight[rowOf[j]!]! += step;
          columnHeight[j]! -= step;
        } else least[j]! -= step;
      at = nearest;
    } while (rowOf[at] !== 0);
    while (at !== 0) {
      rowOf[at] = rowOf[from[at]!]!;
      at = from[at]!;
    }
  }
  const found = Array.from({ length: rows }, () => -1);
  for (let j = 1; j <= columns; j++) {
    const i = rowOf[j]! - 1;
    if (i >= 0 && i < rows && (worth[i]?.[j - 1] ?? 0) > 0) found[i] = j - 1;
  }
  return found;
}
