import { BinaryWriter, WireType } from "@bufbuild/protobuf/wire";
import { nested, text, whole } from "./protobuf.ts";

/** A constant of the graph: 32-bit numbers in row order. */
export interface Tensor {
  readonly name: string;
  readonly dims: readonly number[];
  readonly data: Float32Array;
}

export type Attribute =
  | { readonly name: string; readonly i: number }
  | { readonly name: string; readonly f: number }
  | { readonly name: string; readonly s: string }
  | { readonly name: string; readonly ints: readonly number[] }
  | { readonly name: string; readonly floats: readonly number[] }
  | { readonly name: string; readonly strings: readonly string[] };

export interface GraphNode {
  readonly op: string;
  readonly inputs: readonly string[];
  readonly outputs: readonly string[];
  readonly attributes?: readonly Attribute[];
  /** Left out = the standard operators. */
  readonly domain?: "ai.onnx.ml";
}

export interface Port {
  readonly name: string;
  /** A name stands for a size that is free. */
  readonly dims: readonly (number | string)[];
}

export interface Graph {
  readonly name: string;
  readonly nodes: readonly GraphNode[];
  readonly constants: readonly Tensor[];
  readonly inputs: readonly Port[];
  readonly outputs: readonly Port[];
  readonly metadata: readonly (readonly [key: string, value: string])[];
}

const FLOAT = 1;
const IR_VERSION = 8;
const OPSET = 17;
const ML_OPSET = 3;
/** AttributeProto.AttributeType. */
const TYPE = { f: 1, i: 2, s: 3, floats: 6, ints: 7, strings: 8 } as const;

/**
 * Bytes of an ONNX model. The same graph gives the same bytes.
 *
 * @source ONNX, onnx.proto (ModelProto and below), IR version 8, operator sets ai.onnx 17 and ai.onnx.ml 3
 */
export function onnxBytes(graph: Graph): Uint8Array<ArrayBuffer> {
  const writer = new BinaryWriter();
  whole(writer, 1, IR_VERSION);
  text(writer, 2, "endpair");
  text(writer, 3, "1");
  nested(writer, 7, (g) => {
    for (const node of graph.nodes) nested(g, 1, (w) => writeNode(w, node));
    text(g, 2, graph.name);
    for (const tensor of graph.constants) nested(g, 5, (w) => writeTensor(w, tensor));
    for (const port of graph.inputs) nested(g, 11, (w) => writePort(w, port));
    for (const port of graph.outputs) nested(g, 12, (w) => writePort(w, port));
  });
  nested(writer, 8, (w) => whole(w, 2, OPSET));
  nested(writer, 8, (w) => whole(text(w, 1, "ai.onnx.ml"), 2, ML_OPSET));
  for (const [key, value] of graph.metadata) nested(writer, 14, (w) => text(text(w, 1, key), 2, value));
  return new Uint8Array(writer.finish());
}

function writeNode(w: BinaryWriter, { op, inputs, outputs, attributes, domain }: GraphNode): void {
  for (const name of inputs) text(w, 1, name);
  for (const name of outputs) text(w, 2, name);
  text(w, 3, outputs[0] ?? op);
  text(w, 4, op);
  for (const attribute of attributes ?? []) nested(w, 5, (a) => writeAttribute(a, attribute));
  if (domain !== undefined) text(w, 7, domain);
}

function writeAttribute(w: BinaryWriter, attribute: Attribute): void {
  text(w, 1, attribute.name);
  if ("f" in attribute) w.tag(2, WireType.Bit32).float(attribute.f);
  else if ("i" in attribute) whole(w, 3, attribute.i);
  else if ("s" in attribute) text(w, 4, attribute.s);
  else if ("floats" in attribute) for (const v of attribute.floats) w.tag(7, WireType.Bit32).float(v);
  else if ("ints" in attribute) for (const v of attribute.ints) whole(w, 8, v);
  else for (const v of attribute.strings) text(w, 9, v);
  const key = (Object.keys(TYPE) as (keyof typeof TYPE)[]).find((k) => k in attribute);
  whole(w, 20, key === undefined ? 0 : TYPE[key]);
}

function writeTensor(w: BinaryWriter, { name, dims, data }: Tensor): void {
  for (const d of dims) whole(w, 1, d);
  whole(w, 2, FLOAT);
  text(w, 8, name);
  const raw = new Uint8Array(4 * data.length);
  const view = new DataView(raw.buffer);
  data.forEach((v, i) => view.setFloat32(4 * i, v, true));
  w.tag(9, WireType.LengthDelimited).bytes(raw);
}

function writePort(w: BinaryWriter, { name, dims }: Port): void {
  text(w, 1, name);
  nested(w, 2, (type) =>
    nested(type, 1, (tensor) => {
      whole(tensor, 1, FLOAT);
      nested(tensor, 2, (shape) => {
        for (const d of dims) nested(shape, 1, (dim) => (typeof d === "number" ? whole(dim, 1, d) : text(dim, 2, d)));
      });
    }),
  );
}
