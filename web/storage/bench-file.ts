/** The bench file, loaded only when a bench is saved to or read from a file. */
export { exportBenchFile } from "./export-bench.ts";
export { importBenchFile } from "./import-bench.ts";
