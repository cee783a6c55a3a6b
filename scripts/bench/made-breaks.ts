import { COLUMN_NAMES } from "../../model/classifier/vector.ts";
import { seeded } from "../../model/classifier/seeded.ts";
import type { TrainingSet } from "../../model/classifier/training-set.ts";
import { BREAK_TYPE_IDS } from "../../model/evidence/break-type-ids.ts";

/**
 * Made breaks: numbers of the right shape for learning to be timed and compared on, of no wire at all.
 *
 * Columns read from pictures are known for nine breaks in ten, correlated, and differ between types by a few; columns
 * of marks are mostly missing, and which are known says something of the type, as with marks.
 *
 * @param noise – spread of the picture columns about the middle of their type, in units of the distance of the types.
 */
export function madeBreaks(breaks: number, seed: number, noise: number): TrainingSet {
  const next = seeded(seed);
  const normal = () => Math.sqrt(-2 * Math.log(1 - next())) * Math.cos(2 * Math.PI * next());
  const columns = COLUMN_NAMES.length;
  const classes = BREAK_TYPE_IDS.length;
  const isPicture = COLUMN_NAMES.map((name) => /^(face|side|colour)\./.test(name));
  // What the types look like follows from a seed of its own: every noise level and size is of the same trade.
  const plan = seeded(20260301);
  const middle = Float64Array.from({ length: classes * columns }, () => (plan() < 0.12 ? 3 * plan() - 1.5 : 0));
  const belongs = Float64Array.from({ length: classes * columns }, () => (plan() < 0.1 ? 1 : 0));
  const mixing = Float64Array.from({ length: columns * 4 }, () => 1.4 * plan() - 0.7);
  // The noisier, the less do the marks that are there tell of the type.
  const clear = Math.min(1, 3 / noise);
  const x = new Float32Array(breaks * columns).fill(NaN);
  const y = new Int32Array(breaks);
  for (let i = 0; i < breaks; i++) {
    // Some types are common and some are rare.
    const type = Math.min(classes - 1, Math.floor(classes * next() ** 1.5));
    y[i] = type;
    const shared = [normal(), normal(), normal(), normal()];
    const [faces, sides] = [next() < 0.95, next() < 0.85];
    for (let j = 0; j < columns; j++) {
      const of = type * columns + j;
      if (isPicture[j]) {
        if (!(COLUMN_NAMES[j]!.startsWith("face") ? faces : sides)) continue;
        const together = shared.reduce((sum, s, k) => sum + s * mixing[4 * j + k]!, 0);
        x[i * columns + j] = middle[of]! + noise * (0.8 * normal() + 0.6 * together);
      } else if (next() < 0.06 + 0.54 * belongs[of]! * clear)
        x[i * columns + j] = next() < 0.7 ? 1 : middle[of]! + 0.5 * normal();
    }
  }
  return {
    names: COLUMN_NAMES,
    classes: BREAK_TYPE_IDS,
    x,
    y,
    group: Int32Array.from({ length: breaks }, (_, i) => i),
  };
}
