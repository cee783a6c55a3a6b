import { applyEdit } from "../../model/break/edits.ts";
import { stopIfCancelled } from "./bench-file-error.ts";
import type { BreakFile, FileLogEntry } from "./bench-file-format.ts";
import { namedOriginals } from "./bench-file-format.ts";
import { canonicalJson, sha256Hex, sha256OfText } from "./canonical.ts";
import type { CheckedBenchFile, CheckedOriginal } from "./check-bench-file.ts";
import { checkBenchFile } from "./check-bench-file.ts";
import type { BenchWriter } from "./bench-writer.ts";
import type { BenchFileReport, LongWork, NewOriginal, WholeBreak } from "./contract.ts";
import type { BenchDatabase } from "./database.ts";
import { readBreakFile } from "./read-break-file.ts";
import { storeBreak } from "./store-incoming.ts";
import { damaged, readFile } from "./zip-reading.ts";

/** Setting that is there while a file is taken over: found at start-up, it says that an import did not end. */
export const IMPORT_UNDER_WAY = "import-under-way";

/** Photographs of one write, bytes; so much is in memory at once. */
const BATCH_BYTES = 64 * 1024 * 1024;

/** Who takes a file over, and when (ISO 8601). */
export interface Importer {
  readonly by: string;
  readonly at: string;
}

/**
 * Takes a bench file over. Everything is checked before the first write. Then each break is written as a whole after
 * its photographs, so a crash leaves whole breaks only, and the same file can be taken over again. A break that is here
 * already gets what its log in the file has more; one that began by itself under the same identifier becomes a copy.
 *
 * @param onStored – breaks that are on the disk now.
 * @returns numbers of the breaks by what became of them.
 * @throws BenchFileError with the reason, or cancelled; StoreError disk-full, terminated.
 */
export async function importBenchFile(
  db: BenchDatabase,
  writer: BenchWriter,
  file: Blob,
  importer: Importer,
  onStored: (breakIds: readonly string[]) => void,
  work: LongWork,
): Promise<BenchFileReport> {
  const checked = await checkBenchFile(file, work);
  const added: string[] = [];
  const same: string[] = [];
  const merged: { id: string; number: string; unsettled: boolean }[] = [];
  const differing: { number: string; importedAs: string }[] = [];
  let originals = 0;
  const numbers = new Set((await db.getAll("summaries")).map((summary) => summary.number));
  await setMarker(writer, { ...importer, breaks: checked.breaks.length });
  for (const [i, entry] of checked.breaks.entries()) {
    stopIfCancelled(work.signal);
    const incoming = readBreakFile(entry.filename, await readAgain(checked, entry.filename, entry, work.signal));
    originals += await storeOriginals(db, writer, checked, incoming, work.signal);
    const copy = await copyUnderNewNumber(incoming, importer, numbers);
    const { fate, stored, unsettled } = await storeBreak(db, writer, incoming, copy, importer);
    const { number } = incoming.record;
    if (fate === "added") added.push(number);
    else if (fate === "same") same.push(number);
    else if (fate === "merged") merged.push({ id: stored.id, number: stored.number, unsettled });
    else differing.push({ number, importedAs: stored.number });
    if (fate !== "same") {
      numbers.add(stored.number);
      onStored([stored.id]);
    }
    work.onProgress?.({ done: i + 1, total: checked.breaks.length, what: "breaks" });
  }
  await setMarker(writer, undefined);
  return { added, same, merged, differing, originals, settings: checked.settings };
}

const setMarker = (writer: BenchWriter, marker: unknown): Promise<void> =>
  writer.alone(() =>
    Promise.resolve({ change: { setting: { key: IMPORT_UNDER_WAY, value: marker } }, result: undefined }),
  );

/** The file may lie on a stick that was pulled or rewritten since the check. */
async function readAgain(
  checked: CheckedBenchFile,
  path: string,
  entry: CheckedOriginal["entry"],
  signal: AbortSignal | undefined,
): Promise<Uint8Array<ArrayBuffer>> {
  const bytes = await readFile(entry, signal, true);
  if ((await sha256Hex(bytes)) !== checked.hashes.get(path)) throw damaged(path);
  return bytes;
}

/** Stores the photographs a break names that are not stored yet; @returns how many. */
async function storeOriginals(
  db: BenchDatabase,
  writer: BenchWriter,
  checked: CheckedBenchFile,
  { record, log }: BreakFile,
  signal: AbortSignal | undefined,
): Promise<number> {
  let stored = 0;
  let batch: Omit<NewOriginal, "thumbnail" | "working">[] = [];
  let bytesInBatch = 0;
  const flush = async (): Promise<void> => {
    const originals = batch;
    batch = [];
    bytesInBatch = 0;
    if (originals.length === 0) return;
    await writer.alone(() => Promise.resolve({ change: { originals }, result: undefined }));
    stored += originals.length;
  };
  for (const { hash, fileName } of namedOriginals(record, log).values()) {
    const original = checked.originals.get(hash);
    if (!original || (await db.getKey("originals", hash)) !== undefined) continue;
    const { entry, kind } = original;
    const bytes = await readAgain(checked, entry.filename, entry, signal);
    batch.push({ hash, original: new Blob([bytes], { type: kind.mediaType }), fileName, mediaType: kind.mediaType });
    bytesInBatch += bytes.byteLength;
    if (bytesInBatch >= BATCH_BYTES) await flush();
  }
  await flush();
  return stored;
}

/** Identifier of the copy of a break; it follows from the content. */
export const copyId = async ({ record, log }: Pick<WholeBreak, "record" | "log">): Promise<string> =>
  `copy-${await sha256OfText(canonicalJson([record, log]))}`;

/**
 * The same break under an identifier of its own. The identifier follows from the content, so that the same file
 * taken over twice makes one copy.
 */
export async function copyUnderNewNumber<Whole extends WholeBreak>(
  incoming: Whole,
  { by, at }: Importer,
  taken: ReadonlySet<string>,
): Promise<Whole> {
  const id = await copyId(incoming);
  const edit = { kind: "set-number", number: freeNumber(incoming.record.number, taken) } as const;
  const { next, inverse } = applyEdit({ ...incoming.record, id }, edit, at);
  const line: FileLogEntry = {
    n: incoming.log.length + 1,
    of: null,
    revision: next.revision,
    edit,
    inverse,
    origin: "import",
    by,
    at,
  };
  return { ...incoming, record: next, log: [...incoming.log, line] };
}

/** "B-7 (2)", or the next that nobody has. */
export function freeNumber(number: string, taken: ReadonlySet<string>): string {
  const base = number.replace(/ \(\d+\)$/, "");
  let count = 2;
  while (taken.has(`${base} (${count})`)) count++;
  return `${base} (${count})`;
}
