import { sha256Hex } from "./canonical.ts";
import { checkBenchFile } from "./check-bench-file.ts";
import type { LongWork } from "./contract.ts";
import type { BreakSource } from "./exchange-source.ts";
import { damaged, readFile } from "./zip-reading.ts";

/**
 * A bench file as a source of breaks. Everything in it is checked before anything is handed out.
 *
 * @throws BenchFileError with the reason.
 */
export async function benchFileSource(file: Blob, name: string, work: LongWork): Promise<BreakSource> {
  const checked = await checkBenchFile(file, work);
  const again = async (entry: (typeof checked.breaks)[number], signal?: AbortSignal) => {
    // The file may lie on a stick that was pulled or rewritten since the check.
    const bytes = await readFile(entry, signal, true);
    if ((await sha256Hex(bytes)) !== checked.hashes.get(entry.filename)) throw damaged(entry.filename);
    return bytes;
  };
  return {
    says: { kind: "bench-file", name, version: null, licence: null, creator: null, sha256: null },
    coded: false,
    breaks: checked.breaks.map((entry) => ({ path: entry.filename, read: (signal) => again(entry, signal) })),
    settings: checked.settings,
    lacking: [],
    async original(hash, fileName, signal) {
      const found = checked.originals.get(hash);
      if (found === undefined) return null;
      const { mediaType } = found.kind;
      const bytes = await again(found.entry, signal);
      return { hash, fileName, mediaType, original: new Blob([bytes], { type: mediaType }) };
    },
  };
}
