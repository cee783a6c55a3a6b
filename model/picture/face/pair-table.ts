/** How often two grey levels stand at a distance from each other; symmetric, sums to 1. */
export interface PairTable {
  readonly levels: number;
  readonly shares: Float64Array;
}

/**
 * Grey-level co-occurrence of a picture.
 *
 * @param level – level of each pixel, 0 … levels − 1; 255 = does not count.
 * @param steps – displacements in px, [right, down]; counted together.
 * @source R. M. Haralick, K. Shanmugam, I. Dinstein, "Textural features for image classification", IEEE SMC 3 (1973) 610–621
 */
export function pairTable(
  level: Uint8Array,
  widthPx: number,
  levels: number,
  steps: readonly (readonly [number, number])[],
): PairTable {
  const shares = new Float64Array(levels * levels);
  const heightPx = level.length / widthPx;
  let total = 0;
  for (const [dx, dy] of steps)
    for (let y = Math.max(0, -dy); y < Math.min(heightPx, heightPx - dy); y++)
      for (let x = Math.max(0, -dx); x < Math.min(widthPx, widthPx - dx); x++) {
        const a = level[y * widthPx + x]!;
        const b = level[(y + dy) * widthPx + x + dx]!;
        if (a === 255 || b === 255) continue;
        shares[a * levels + b]!++;
        shares[b * levels + a]!++;
        total += 2;
      }
  if (total > 0) for (let k = 0; k < shares.length; k++) shares[k]! /= total;
  return { levels, shares };
}

export interface PairFigures {
  /** Σ p (i − j)² */
  readonly contrast: number;
  /** Σ p / (1 + (i − j)²) */
  readonly homogeneity: number;
  /** √Σ p² */
  readonly energy: number;
  /** Σ p (i − μ)(j − μ) / σ²; 1 when there is one level only. */
  readonly correlation: number;
}

/** @source Haralick et al. 1973, f1, f2, f3 and f5 (homogeneity: inverse difference moment; energy: its root) */
export function pairFigures({ levels, shares }: PairTable): PairFigures {
  let [contrast, homogeneity, squares, mean, variance, covariance] = [0, 0, 0, 0, 0, 0];
  for (let i = 0; i < levels; i++) for (let j = 0; j < levels; j++) mean += i * shares[i * levels + j]!;
  for (let i = 0; i < levels; i++)
    for (let j = 0; j < levels; j++) {
      const p = shares[i * levels + j]!;
      contrast += p * (i - j) ** 2;
      homogeneity += p / (1 + (i - j) ** 2);
      squares += p * p;
      variance += p * (i - mean) ** 2;
      covariance += p * (i - mean) * (j - mean);
    }
  const correlation = variance < 1e-15 ? 1 : covariance / variance;
  return { contrast, homogeneity, energy: Math.sqrt(squares), correlation };
}
