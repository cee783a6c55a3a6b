import { listFiles } from "../storage/zip-reading.ts";

/** Names of the files in a zip, for telling what kind it is. @throws BenchFileError not-a-bench-file, bomb, too-large. */
export const namesInZip = async (file: Blob, signal?: AbortSignal): Promise<ReadonlySet<string>> =>
  new Set((await listFiles(file, signal, { belongs: () => true, isPicture: () => true })).keys());
