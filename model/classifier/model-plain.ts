import "../break/jitless.ts";
import * as z from "zod";
import type { BreakModel } from "./break-model.ts";
import { ClassifierError } from "./classifier-error.ts";
import type { SoftmaxModel } from "./softmax.ts";
import type { Temperature } from "./temperature.ts";
import type { TemperatureByKnown } from "./temperature-by-known.ts";
import type { Tree, TreesModel } from "./trees.ts";

const number = z.number();
const numbers = z.array(number).max(5_000_000);
const words = z.array(z.string().max(200)).min(1).max(2000);
/** NaN has no place in JSON; a share of nothing has no value. */
const share = z
  .strictObject({ of: number, n: number, value: number.nullable(), low: number, high: number })
  .transform((s) => ({ ...s, value: s.value ?? NaN }));
const bin = z
  .strictObject({ from: number, to: number, n: number, said: number.nullable(), right: number.nullable() })
  .transform((b) => ({ ...b, said: b.said ?? NaN, right: b.right ?? NaN }));
const prose = z.string().max(5000);

const card = z.strictObject({
  name: prose,
  trainedAt: z.string().max(40),
  trainedOn: prose,
  limits: z.array(prose).max(50),
  dataDigest: z.string().regex(/^[0-9a-f]{64}$/),
  breaks: number,
  perType: z.array(z.strictObject({ type: prose, breaks: number, precision: share, recall: share })).max(200),
  accuracy: share,
  logLoss: number,
  calibration: z.strictObject({ error: number, bins: z.array(bin).max(100) }),
  learningCurve: z.array(z.strictObject({ breaks: number, accuracy: share })).max(50),
  candidates: z.array(z.strictObject({ name: prose, logLoss: number, accuracy: share })).max(50),
  seed: number,
});
const standard = z.strictObject({ mean: numbers, spread: numbers });
/** column, edge, missing goes low (1) or high (0), low, high, value, mean */
const node = z.tuple([z.int(), number, z.int(), z.int().min(0), z.int().min(0), number, number]);
const core = z.discriminatedUnion("kind", [
  z.strictObject({ kind: z.literal("softmax"), standard, weights: numbers, bias: numbers }),
  z.strictObject({
    kind: z.literal("trees"),
    classes: z.int().min(2).max(200),
    base: numbers,
    trees: z.array(z.array(node).min(1).max(4096)).max(100_000),
  }),
]);
/** Files of format 1 know only the one number. */
const temperature = z.union([
  number.min(0.01).max(100),
  z.strictObject({
    counted: z.array(z.int().min(0).max(1)).max(2000),
    few: z.int().min(0),
    many: z.int().min(1),
    boldAtFew: number.min(0.01).max(100),
    boldAtMany: number.min(0.01).max(100),
  }),
]);
const schema = z.strictObject({
  columns: words,
  classes: words,
  core,
  temperature,
  familiarity: z.strictObject({ standard, mean: numbers, sharpness: numbers, distances: numbers }),
  card,
});

/** The model as JSON keeps it. */
export function plainModel(model: BreakModel): z.input<typeof schema> {
  const plain = (s: BreakModel["familiarity"]["standard"]) => ({ mean: [...s.mean], spread: [...s.spread] });
  const { familiarity } = model;
  return {
    columns: [...model.columns],
    classes: [...model.classes],
    core:
      model.core.kind === "softmax"
        ? {
            kind: "softmax",
            standard: plain(model.core.standard),
            weights: [...model.core.weights],
            bias: [...model.core.bias],
          }
        : {
            kind: "trees",
            classes: model.core.classes,
            base: [...model.core.base],
            trees: model.core.trees.map((tree) =>
              tree.map((n): [number, number, number, number, number, number, number] => [
                n.column,
                n.edge,
                n.missingLow ? 1 : 0,
                n.low,
                n.high,
                n.value,
                n.mean,
              ]),
            ),
          },
    temperature: plainTemperature(model.temperature),
    familiarity: {
      standard: plain(familiarity.standard),
      mean: [...familiarity.mean],
      sharpness: [...familiarity.sharpness],
      distances: [...familiarity.distances],
    },
    card: model.card as z.input<typeof card>,
  };
}

/** Keys in the order in which they are read, whoever made the model: the bytes follow it. */
function plainTemperature(t: Temperature): z.input<typeof temperature> {
  if (typeof t === "number") return t;
  const { counted, few, many, boldAtFew, boldAtMany } = t;
  return { counted: [...counted], few, many, boldAtFew, boldAtMany };
}

/** @throws ClassifierError `damaged-model` when sizes do not fit each other or a tree runs in a circle. */
export function modelFromPlain(plain: unknown): BreakModel {
  const read = schema.safeParse(plain);
  if (!read.success) throw wrong();
  const { columns, classes, core: c, temperature: t, familiarity: f, card: readCard } = read.data;
  const [n, k] = [columns.length, classes.length];
  const sized = (values: readonly number[], length: number): Float64Array => {
    if (values.length !== length) throw wrong();
    return Float64Array.from(values);
  };
  const standardFrom = (s: { mean: number[]; spread: number[] }) => ({
    mean: sized(s.mean, n),
    spread: sized(s.spread, n),
  });
  return {
    columns,
    classes,
    core:
      c.kind === "softmax"
        ? ({
            kind: "softmax",
            standard: standardFrom(c.standard),
            weights: sized(c.weights, 2 * n * k),
            bias: sized(c.bias, k),
          } satisfies SoftmaxModel)
        : treesFrom(c, n, k, sized(c.base, k)),
    temperature: typeof t === "number" ? t : temperatureFrom(t, n),
    familiarity: {
      standard: standardFrom(f.standard),
      mean: sized(f.mean, n * k),
      sharpness: sized(f.sharpness, n * k),
      distances: Float64Array.from(f.distances),
    },
    card: readCard,
  };
}

function temperatureFrom(plain: Exclude<z.output<typeof temperature>, number>, columns: number): TemperatureByKnown {
  if (plain.counted.length !== columns || plain.many <= plain.few) throw wrong();
  return { ...plain, counted: Uint8Array.from(plain.counted) };
}

function treesFrom(
  plain: Extract<z.output<typeof core>, { kind: "trees" }>,
  columns: number,
  classes: number,
  base: Float64Array,
): TreesModel {
  if (plain.classes !== classes || plain.trees.length % classes !== 0) throw wrong();
  const trees = plain.trees.map((list): Tree =>
    list.map(([column, edge, missing, low, high, value, mean], at) => {
      // Children lie behind their node, so every way down ends.
      if (column >= columns || (column >= 0 && (low <= at || high <= at || low >= list.length || high >= list.length)))
        throw wrong();
      return { column, edge, missingLow: missing === 1, low, high, value, mean };
    }),
  );
  return { kind: "trees", classes, base, trees };
}

const wrong = () =>
  new ClassifierError(
    "damaged-model",
    "This model file was changed or damaged: its parts do not fit each other.",
    "Copy it again from where it came, or train the model anew.",
  );

/** The model with every number as the 32-bit one that the file holds, so that file and memory answer alike. */
export function roundedModel(model: BreakModel): BreakModel {
  const round = (values: Float64Array) => values.map(Math.fround);
  const standardOf = (s: BreakModel["familiarity"]["standard"]) => ({ mean: round(s.mean), spread: round(s.spread) });
  const { core: c, familiarity: f } = model;
  return {
    ...model,
    core:
      c.kind === "softmax"
        ? { ...c, standard: standardOf(c.standard), weights: round(c.weights), bias: round(c.bias) }
        : { ...c, base: round(c.base), trees: c.trees.map((t) => t.map((n) => ({ ...n, mean: Math.fround(n.mean) }))) },
    temperature: roundedTemperature(model.temperature),
    familiarity: {
      standard: standardOf(f.standard),
      mean: round(f.mean),
      sharpness: round(f.sharpness),
      distances: round(f.distances),
    },
  };
}

const roundedTemperature = (temperature: Temperature): Temperature =>
  typeof temperature === "number"
    ? Math.fround(temperature)
    : {
        ...temperature,
        boldAtFew: Math.fround(temperature.boldAtFew),
        boldAtMany: Math.fround(temperature.boldAtMany),
      };
