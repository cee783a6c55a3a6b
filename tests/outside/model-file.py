#!/usr/bin/python3
"""Model files checked and computed by other programs, for tests/model/classifier/model-outside.test.ts.

Libraries: onnx (checker with full_check, strict shape inference), NumPy for the numbers. Debian's onnx has no
evaluator, so the operators are computed here, from the definitions in the ONNX operator documents
(ai.onnx 17; ai.onnx.ml 3 for TreeEnsembleRegressor), in 32-bit numbers.
Writes model-file.json beside this file: the hash of each file checked, what the checker found, shapes, texts carried,
and the answers to each row. Tolerance: 1e-5 on probabilities.
Run: /usr/bin/python3 tests/outside/model-file.py
"""
import functools
import hashlib
import json
import os
import subprocess
import tempfile

import numpy as np
import onnx
from onnx import helper, numpy_helper, shape_inference

here = os.path.dirname(os.path.abspath(__file__))
root = os.path.join(here, "..", "..")


def trees(x, a):
    """TreeEnsembleRegressor, BRANCH_LEQ only, SUM, no post transform."""
    out = np.tile(np.float32(a["base_values"]), (len(x), 1)).astype(np.float32)
    at = {(t, n): k for k, (t, n) in enumerate(zip(a["nodes_treeids"], a["nodes_nodeids"]))}
    leaf = {}
    for t, n, target, weight in zip(a["target_treeids"], a["target_nodeids"], a["target_ids"], a["target_weights"]):
        leaf.setdefault((t, n), []).append((target, np.float32(weight)))
    for i, row in enumerate(x):
        for t in sorted(set(a["nodes_treeids"])):
            n = 0
            while a["nodes_modes"][at[t, n]] != b"LEAF":
                k = at[t, n]
                assert a["nodes_modes"][k] == b"BRANCH_LEQ"
                v = row[a["nodes_featureids"][k]]
                true = bool(a["nodes_missing_value_tracks_true"][k]) if np.isnan(v) else v <= np.float32(a["nodes_values"][k])
                n = a["nodes_truenodeids" if true else "nodes_falsenodeids"][k]
            for target, weight in leaf[t, n]:
                out[i, target] += weight
    return out


def softmax(x, axis):
    e = np.exp(x - x.max(axis=axis, keepdims=True))
    return e / e.sum(axis=axis, keepdims=True)


OPERATORS = {
    "IsNaN": lambda i, a: np.isnan(i[0]),
    "Not": lambda i, a: ~i[0],
    "Cast": lambda i, a: i[0].astype(helper.mapping.TENSOR_TYPE_TO_NP_TYPE[a["to"]]),
    "Where": lambda i, a: np.where(i[0], i[1], i[2]),
    "Sub": lambda i, a: i[0] - i[1],
    "Div": lambda i, a: i[0] / i[1],
    "Mul": lambda i, a: i[0] * i[1],
    "Add": lambda i, a: i[0] + i[1],
    "Clip": lambda i, a: np.clip(i[0], i[1], i[2]),
    "Concat": lambda i, a: np.concatenate(i, axis=a["axis"]),
    "MatMul": lambda i, a: i[0] @ i[1],
    "Softmax": lambda i, a: softmax(i[0], a["axis"]),
    "ReduceMin": lambda i, a: i[0].min(axis=tuple(a["axes"]), keepdims=bool(a["keepdims"])),
    "ReduceL1": lambda i, a: np.abs(i[0]).sum(axis=tuple(a["axes"]), keepdims=bool(a["keepdims"])),
    "Max": lambda i, a: functools.reduce(np.maximum, i),
    "TreeEnsembleRegressor": lambda i, a: trees(i[0], a),
}


def computed(graph, x):
    values = {t.name: numpy_helper.to_array(t) for t in graph.initializer}
    values[graph.input[0].name] = x
    for node in graph.node:
        attributes = {a.name: helper.get_attribute_value(a) for a in node.attribute}
        values[node.output[0]] = OPERATORS[node.op_type]([values[name] for name in node.input], attributes)
    return [values[o.name] for o in graph.output]


def shape(port):
    return [d.dim_param or d.dim_value for d in port.type.tensor_type.shape.dim]


with tempfile.TemporaryDirectory() as folder:
    subprocess.run(["npx", "tsx", "tests/outside/model-file-write.ts", folder], cwd=root, check=True)
    with open(os.path.join(folder, "rows.json")) as f:
        rows = np.array([[np.nan if v is None else v for v in row] for row in json.load(f)], dtype=np.float32)
    found = {"onnx": onnx.__version__, "numpy": np.__version__, "files": {}}
    for kind in ["softmax", "trees", "by-known"]:
        path = os.path.join(folder, f"{kind}.onnx")
        with open(path, "rb") as f:
            digest = hashlib.sha256(f.read()).hexdigest()
        model = onnx.load(path)
        onnx.checker.check_model(model, full_check=True)
        inferred = shape_inference.infer_shapes(model, check_type=True, strict_mode=True)
        known = {v.name: shape(v) for v in inferred.graph.value_info}
        probabilities, distance = computed(model.graph, rows)
        found["files"][kind] = {
            "sha256": digest,
            "checker": "passed",
            "ir": model.ir_version,
            "opsets": {o.domain or "ai.onnx": o.version for o in model.opset_import},
            "inputs": {i.name: shape(i) for i in model.graph.input},
            "outputs": {o.name: shape(o) for o in model.graph.output},
            "inferred": len(known),
            "texts": sorted(p.key for p in model.metadata_props),
            "probabilities": [[float(f"{v:.8g}") for v in row] for row in probabilities],
            "distance": [float(f"{v:.8g}") for v in distance],
        }
    with open(os.path.join(here, "model-file.json"), "w") as f:
        json.dump(found, f, indent=1)
        f.write("\n")
