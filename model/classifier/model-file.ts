import { BinaryReader, BinaryWriter } from "@bufbuild/protobuf/wire";
import { crc32 } from "../picture/crc32.ts";
import { ClassifierError } from "./classifier-error.ts";
import type { BreakModel } from "./break-model.ts";
import { graphOf } from "./model-graph.ts";
import { modelFromPlain, plainModel, roundedModel } from "./model-plain.ts";
import { onnxBytes } from "./onnx-graph.ts";

/** Newest version of the description inside the file. 1: one temperature. 2: it may follow how much is known. */
export const MODEL_FORMAT = 2;
const formatOf = ({ temperature }: BreakModel): number => (typeof temperature === "number" ? 1 : 2);
const KEY = "endpair.model";
const KEY_CHECK = "endpair.check";
const KEY_FORMAT = "endpair.format";
const MOST_BYTES = 64 * 2 ** 20;

/**
 * A model as an ONNX file. The file carries the whole model twice: as a graph for any ONNX runtime, and as a
 * description from which this product can explain an answer. Reading checks that both say the same.
 *
 * @returns the bytes, and the model with its numbers rounded as the file holds them.
 */
export function writeModelFile(model: BreakModel): {
  readonly bytes: Uint8Array<ArrayBuffer>;
  readonly model: BreakModel;
} {
  const rounded = roundedModel(model);
  return { bytes: bytesOf(rounded), model: rounded };
}

function bytesOf(model: BreakModel): Uint8Array<ArrayBuffer> {
  const description = JSON.stringify(plainModel(model));
  return onnxBytes({
    ...graphOf(model),
    metadata: [
      [KEY_FORMAT, String(formatOf(model))],
      ["endpair.types", model.classes.join(" ")],
      ["endpair.columns", model.columns.join(" ")],
      ["endpair.data-digest", model.card.dataDigest],
      [KEY_CHECK, checkOf(description)],
      [KEY, description],
    ],
  });
}

/**
 * Reads a model file, whoever wrote it.
 *
 * @param columns – the columns that this version of the product computes; a model of other columns cannot be used.
 * @throws ClassifierError `not-a-model`, `other-product`, `newer-model`, `damaged-model`, `other-columns`.
 */
export function readModelFile(bytes: Uint8Array, columns: readonly string[]): BreakModel {
  if (bytes.length > MOST_BYTES || bytes.length < 16) throw notAModel();
  const metadata = metadataOf(bytes);
  const format = metadata.get(KEY_FORMAT);
  const description = metadata.get(KEY);
  if (format === undefined || description === undefined)
    throw new ClassifierError(
      "other-product",
      "This is an ONNX model, but not one of Endpair's.",
      "Choose a model file that Endpair wrote.",
    );
  if (Number(format) > MODEL_FORMAT)
    throw new ClassifierError(
      "newer-model",
      "This model was written by a newer version of Endpair.",
      "Update Endpair, or train the model anew here.",
    );
  if (metadata.get(KEY_CHECK) !== checkOf(description)) throw damaged();
  const model = modelFromPlain(parsed(description));
  // The graph must be the one that the description gives, byte for byte: else an answer and its reasons would differ.
  const again = bytesOf(model);
  if (again.length !== bytes.length || again.some((byte, i) => byte !== bytes[i])) throw damaged();
  const unknown = model.columns.filter((c) => !columns.includes(c)).length;
  // In their order too: a row of numbers carries no names.
  if (unknown > 0 || model.columns.length !== columns.length || model.columns.some((c, j) => c !== columns[j]))
    throw new ClassifierError(
      "other-columns",
      unknown > 0
        ? "This model expects numbers of a break that this version of Endpair does not compute."
        : "This model was trained on other numbers of a break than this version of Endpair computes.",
      "Train the model anew with this version.",
    );
  return model;
}

/** Finds damage to the words of the card, which the graph does not hold. */
const checkOf = (description: string): string => crc32(new BinaryWriter().string(description).finish()).toString(16);

/** The text entries at the end of an ONNX file. */
function metadataOf(bytes: Uint8Array): ReadonlyMap<string, string> {
  const found = new Map<string, string>();
  try {
    const reader = new BinaryReader(bytes);
    let version = false;
    while (reader.pos < reader.len) {
      const [field, type] = reader.tag();
      if (field === 1) version = Number(reader.int64()) > 0;
      else if (field === 14) {
        const entry = new BinaryReader(reader.bytes());
        let [key, value] = ["", ""];
        while (entry.pos < entry.len) {
          const [inner, innerType] = entry.tag();
          if (inner === 1) key = entry.string();
          else if (inner === 2) value = entry.string();
          else entry.skip(innerType, inner);
        }
        found.set(key, value);
      } else reader.skip(type, field);
    }
    if (!version) throw notAModel();
  } catch (error) {
    throw error instanceof ClassifierError ? error : notAModel();
  }
  return found;
}

function parsed(description: string): unknown {
  try {
    return JSON.parse(description);
  } catch {
    throw damaged();
  }
}

const notAModel = () =>
  new ClassifierError(
    "not-a-model",
    "This file is no ONNX model, or it is cut off.",
    "Choose a .onnx file that Endpair wrote.",
  );
const damaged = () =>
  new ClassifierError(
    "damaged-model",
    "This model file was changed or damaged: its parts do not agree.",
    "Copy it again from where it came, or train the model anew.",
  );
