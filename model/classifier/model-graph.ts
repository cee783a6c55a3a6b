import type { BreakModel } from "./break-model.ts";
import type { Graph, GraphNode, Tensor } from "./onnx-graph.ts";
import { FAR_OUT } from "./standardise.ts";
import type { Temperature } from "./temperature.ts";
import type { TreesModel } from "./trees.ts";

export const INPUT = "numbers";
export const PROBABILITIES = "probabilities";
export const DISTANCE = "distance";

/** One operator and its result, named after the result. */
const op = (
  name: string,
  operator: string,
  inputs: readonly string[],
  attributes?: GraphNode["attributes"],
): GraphNode => ({ op: operator, inputs, outputs: [name], ...(attributes ? { attributes } : {}) });

const tensor = (name: string, dims: readonly number[], values: ArrayLike<number>): Tensor => ({
  name,
  dims,
  data: Float32Array.from(values),
});

/**
 * The model as a graph: numbers of breaks in (rows × columns, NaN missing), probabilities (rows × classes) and the
 * distance to the nearest type (rows) out.
 */
export function graphOf(model: BreakModel): Graph {
  const columns = model.columns.length;
  const classes = model.classes.length;
  const { standard, mean, sharpness } = model.familiarity;
  const tempered = temperedBy(model.temperature);
  const constants: Tensor[] = [
    tensor("mean", [columns], standard.mean),
    tensor("spread", [columns], standard.spread),
    tensor("lowest", [], [-FAR_OUT]),
    tensor("highest", [], [FAR_OUT]),
    ...tempered.constants,
    tensor(
      "sharp",
      [columns, classes],
      turned(sharpness, classes, columns, (s) => s),
    ),
    tensor(
      "sharp_mean",
      [columns, classes],
      turned(sharpness, classes, columns, (s, k) => -2 * s * mean[k]!),
    ),
    tensor(
      "sharp_square",
      [columns, classes],
      turned(sharpness, classes, columns, (s, k) => s * mean[k]! * mean[k]!),
    ),
  ];
  const nodes: GraphNode[] = [
    op("missing", "IsNaN", [INPUT]),
    op("present", "Not", ["missing"]),
    op("known", "Cast", ["present"], [{ name: "to", i: 1 }]),
    op("filled", "Where", ["missing", "mean", INPUT]),
    op("centred", "Sub", ["filled", "mean"]),
    op("scaled", "Div", ["centred", "spread"]),
    op("standard", "Clip", ["scaled", "lowest", "highest"]),
  ];
  const { core } = model;
  if (core.kind === "softmax") {
    constants.push(
      tensor(
        "weights",
        [2 * columns, classes],
        turned(core.weights, classes, 2 * columns, (w) => w),
      ),
      tensor("bias", [classes], core.bias),
    );
    nodes.push(
      op("line", "Concat", ["standard", "known"], [{ name: "axis", i: 1 }]),
      op("weighed", "MatMul", ["line", "weights"]),
      op("scores", "Add", ["weighed", "bias"]),
    );
  } else nodes.push(treesNode(core));
  nodes.push(
    ...tempered.nodes,
    op(PROBABILITIES, "Softmax", ["tempered"], [{ name: "axis", i: 1 }]),
    op("squares", "Mul", ["standard", "standard"]),
    op("far_a", "MatMul", ["squares", "sharp"]),
    op("far_b", "MatMul", ["standard", "sharp_mean"]),
    op("far_c", "MatMul", ["known", "sharp_square"]),
    op("far_ab", "Add", ["far_a", "far_b"]),
    op("far", "Add", ["far_ab", "far_c"]),
    op(
      "nearest",
      "ReduceMin",
      ["far"],
      [
        { name: "axes", ints: [1] },
        { name: "keepdims", i: 0 },
      ],
    ),
    op(
      "known_count",
      "ReduceL1",
      ["known"],
      [
        { name: "axes", ints: [1] },
        { name: "keepdims", i: 0 },
      ],
    ),
    op("at_least_one", "Max", ["known_count", "one"]),
    op(DISTANCE, "Div", ["nearest", "at_least_one"]),
  );
  constants.push(tensor("one", [], [1]));
  return {
    name: "break_type",
    nodes,
    constants,
    inputs: [{ name: INPUT, dims: ["rows", columns] }],
    outputs: [
      { name: PROBABILITIES, dims: ["rows", classes] },
      { name: DISTANCE, dims: ["rows"] },
    ],
    metadata: [],
  };
}

/** The scores at their temperature, as "tempered". */
function temperedBy(temperature: Temperature): { readonly constants: Tensor[]; readonly nodes: GraphNode[] } {
  if (typeof temperature === "number")
    return {
      constants: [tensor("temperature", [], [temperature])],
      nodes: [op("tempered", "Div", ["scores", "temperature"])],
    };
  const { counted, few, many, boldAtFew, boldAtMany } = temperature;
  return {
    constants: [
      tensor("counted", [counted.length, 1], counted),
      tensor("few", [], [few]),
      tensor("many_less_few", [], [many - few]),
      tensor("none", [], [0]),
      tensor("bold_at_few", [], [boldAtFew]),
      tensor("bold_gain", [], [boldAtMany - boldAtFew]),
    ],
    nodes: [
      op("counted_known", "MatMul", ["known", "counted"]),
      op("above_few", "Sub", ["counted_known", "few"]),
      op("share_of_way", "Div", ["above_few", "many_less_few"]),
      op("way", "Clip", ["share_of_way", "none", "one"]),
      op("gained", "Mul", ["way", "bold_gain"]),
      op("bold", "Add", ["gained", "bold_at_few"]),
      op("tempered", "Mul", ["scores", "bold"]),
    ],
  };
}

/** rows × columns to columns × rows. */
function turned(
  values: Float64Array,
  rows: number,
  columns: number,
  change: (value: number, at: number) => number,
): Float64Array {
  const out = new Float64Array(values.length);
  for (let r = 0; r < rows; r++)
    for (let c = 0; c < columns; c++) out[c * rows + r] = change(values[r * columns + c]!, r * columns + c);
  return out;
}

/** @source ONNX, ai.onnx.ml TreeEnsembleRegressor, version 3 */
function treesNode({ classes, base, trees }: TreesModel): GraphNode {
  const all = trees.flatMap((tree, t) => tree.map((node, n) => ({ ...node, t, n })));
  const leaves = all.filter((node) => node.column < 0);
  const ints = (name: string, values: readonly number[]) => ({ name, ints: values });
  const floats = (name: string, values: readonly number[]) => ({ name, floats: values });
  return {
    op: "TreeEnsembleRegressor",
    domain: "ai.onnx.ml",
    inputs: [INPUT],
    outputs: ["scores"],
    attributes: [
      floats("base_values", [...base]),
      { name: "n_targets", i: classes },
      { name: "aggregate_function", s: "SUM" },
      { name: "post_transform", s: "NONE" },
      ints("nodes_treeids", all.map((a) => a.t)), // prettier-ignore
      ints("nodes_nodeids", all.map((a) => a.n)), // prettier-ignore
      ints("nodes_featureids", all.map((a) => Math.max(0, a.column))), // prettier-ignore
      { name: "nodes_modes", strings: all.map((a) => (a.column < 0 ? "LEAF" : "BRANCH_LEQ")) },
      floats("nodes_values", all.map((a) => a.edge)), // prettier-ignore
      ints("nodes_truenodeids", all.map((a) => a.low)), // prettier-ignore
      ints("nodes_falsenodeids", all.map((a) => a.high)), // prettier-ignore
      ints("nodes_missing_value_tracks_true", all.map((a) => (a.missingLow ? 1 : 0))), // prettier-ignore
      ints("target_treeids", leaves.map((a) => a.t)), // prettier-ignore
      ints("target_nodeids", leaves.map((a) => a.n)), // prettier-ignore
      ints("target_ids", leaves.map((a) => a.t % classes)), // prettier-ignore
      floats("target_weights", leaves.map((a) => a.value)), // prettier-ignore
    ],
  };
}
