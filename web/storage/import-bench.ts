import { BenchFileError } from "./bench-file-error.ts";
import type { BenchFileReport, LongWork } from "./contract.ts";
import type { BenchDatabase } from "./database.ts";

export function importBenchFile(
  _db: BenchDatabase,
  _file: Blob,
  _by: { readonly by: string; readonly at: string },
  _onStored: (breakIds: readonly string[]) => void,
  _work: LongWork,
): Promise<BenchFileReport> {
  return Promise.reject(new BenchFileError("unknown-version", "Bench files are not read yet."));
}
