import { mkdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { checkedModels, goldenRows, KINDS } from "../model/classifier/checked-models.ts";

/** Writes the files that model-file.py checks: a model of each kind, and the numbers to ask them with. */
const folder = process.argv[2];
if (folder === undefined) throw new Error("Say where to write: tsx tests/outside/model-file-write.ts FOLDER");
mkdirSync(folder, { recursive: true });
const models = checkedModels();
for (const kind of KINDS) writeFileSync(join(folder, `${kind}.onnx`), models[kind].bytes);
const rows = goldenRows(models).map((row) => Array.from(row, (v) => (Number.isNaN(v) ? null : v)));
writeFileSync(join(folder, "rows.json"), JSON.stringify(rows));
