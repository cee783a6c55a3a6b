import { ASSUMED_LIMIT, type LimitBelief } from "./assumed-limit.ts";
import { logistic, normalDensity } from "./normal.ts";

/** B of a pass with its standard uncertainty. */
export interface PassStress {
  readonly value: number;
  readonly sd: number;
}

/** What one route has shown. */
export type RouteRecord =
  /** A confirmed central burst; the probability of each pass to be its birthplace where that is known. */
  | { readonly kind: "burst"; readonly passes: readonly PassStress[]; readonly birth?: readonly number[] }
  /** Ran sound: no pass burst. */
  | { readonly kind: "sound"; readonly passes: readonly PassStress[] };

/** The limit of B, fitted or still assumed, with what it rests on. */
export interface FittedLimit extends LimitBelief {
  /** Bounds that hold the limit with 95 % probability. */
  readonly low: number;
  readonly high: number;
  /** True while nothing but the assumption stands behind it. */
  readonly assumed: boolean;
  readonly bursts: number;
  readonly sound: number;
  /** Probability of each limit on a grid, for drawing and for tracing. */
  readonly grid: readonly { readonly limit: number; readonly probability: number }[];
  readonly says: string;
}

/**
 * How sharply the chance of a burst rises around the limit, in B: other causes (cleanness, hydrogen, porosity) blur it.
 *
 * @source this-study, assumption
 */
export const LIMIT_SOFTNESS = 0.06;

const GRID_FROM = -0.3;
const GRID_TO = 1.7;
const GRID_STEP = 0.01;

/** Standard deviation of a logistic variable over its scale. */
const LOGISTIC_SD = Math.PI / Math.sqrt(3);

/** Chance that a pass bursts if the limit is this. The uncertainty of B widens the step, taken as one wider logistic. */
export function burstChance({ value, sd }: PassStress, limit: number): number {
  return logistic((value - limit) / Math.hypot(LIMIT_SOFTNESS, sd / LOGISTIC_SD));
}

function likelihood(record: RouteRecord, limit: number): number {
  const chances = record.passes.map((p) => burstChance(p, limit));
  const none = chances.reduce((product, p) => product * (1 - p), 1);
  if (record.kind === "sound") return none;
  const { birth } = record;
  if (birth === undefined) return 1 - none;
  // Born at pass k with the probability given, and not before it.
  let before = 1;
  let sum = 0;
  chances.forEach((p, k) => {
    sum += (birth[k] ?? 0) * before * p;
    before *= 1 - p;
  });
  // What the tracing leaves open says nothing of the limit.
  const open = 1 - birth.reduce((total, p) => total + p, 0);
  return sum + Math.max(0, open);
}

const say = (x: number): string => (Math.round(x * 100) / 100).toFixed(2);
const count = (n: number, one: string, many: string): string => `${n} ${n === 1 ? one : many}`;

/**
 * Limit of B at which this lab's wire bursts, from confirmed bursts and from routes that ran sound.
 *
 * Bayes' rule on a grid: the assumption is the start; a burst speaks for limits below the stress of its passes, a sound
 * route for limits above them. Deterministic; the order of the records does not matter.
 *
 * @source this-study
 */
export function fitLimit(records: readonly RouteRecord[], start: LimitBelief = ASSUMED_LIMIT): FittedLimit {
  const limits = Array.from(
    { length: Math.round((GRID_TO - GRID_FROM) / GRID_STEP) + 1 },
    (_, i) => GRID_FROM + i * GRID_STEP,
  );
  const logs = limits.map((limit) =>
    records.reduce(
      (sum, record) => sum + Math.log(Math.max(1e-300, likelihood(record, limit))),
      Math.log(normalDensity(limit, start.mean, start.sd)),
    ),
  );
  const most = Math.max(...logs);
  const weights = logs.map((log) => Math.exp(log - most));
  const total = weights.reduce((sum, w) => sum + w, 0);
  const grid = limits.map((limit, i) => ({ limit, probability: (weights[i] ?? 0) / total }));
  const mean = grid.reduce((sum, g) => sum + g.limit * g.probability, 0);
  const sd = Math.sqrt(grid.reduce((sum, g) => sum + (g.limit - mean) ** 2 * g.probability, 0));
  const bursts = records.filter((r) => r.kind === "burst").length;
  const sound = records.length - bursts;
  const low = quantile(grid, 0.025);
  const high = quantile(grid, 0.975);
  const band = `${say(mean)} (95 %: ${say(low)} to ${say(high)})`;
  return {
    mean,
    sd,
    low,
    high,
    assumed: records.length === 0,
    bursts,
    sound,
    grid,
    says:
      records.length === 0
        ? `The limit of B is assumed, not measured: ${band}. Confirm central bursts with a route to fit it.`
        : `The limit of B is ${band}, fitted from ${count(bursts, "confirmed burst", "confirmed bursts")} and ` +
          `${count(sound, "route that ran sound", "routes that ran sound")}, starting from an assumption.`,
  };
}

function quantile(grid: FittedLimit["grid"], share: number): number {
  let sum = 0;
  for (const { limit, probability } of grid) {
    // Inside the step, so that the bounds do not jump by whole steps.
    if (sum + probability >= share) return limit + GRID_STEP * ((share - sum) / probability - 0.5);
    sum += probability;
  }
  return GRID_TO;
}
