import { applyEdit } from "../../model/break/edits.ts";
import type { WireBreak } from "../../model/break/wire-break.ts";
import { stopIfCancelled } from "./bench-file-error.ts";
import type { BreakFile, FileLogEntry } from "./bench-file-format.ts";
import { breakFile, namedPhotographs } from "./bench-file-format.ts";
import { canonicalJson, sha256Hex, sha256OfText } from "./canonical.ts";
import type { CheckedBenchFile, CheckedOriginal } from "./check-bench-file.ts";
import { checkBenchFile } from "./check-bench-file.ts";
import { addEntry } from "./commit.ts";
import type { BenchFileReport, LongWork } from "./contract.ts";
import type { BenchDatabase } from "./database.ts";
import { strictly } from "./database.ts";
import { readBreakFile } from "./read-break-file.ts";
import { storedEntries } from "./stored.ts";
import { summarise } from "./summary.ts";
import { damaged, readFile } from "./zip-reading.ts";

/** Setting that is there while a file is taken over: found at start-up, it says that an import did not end. */
export const IMPORT_UNDER_WAY = "import-under-way";

/** Photographs of one transaction, bytes; so much is in memory at once. */
const BATCH_BYTES = 64 * 1024 * 1024;

interface Importer {
  readonly by: string;
  readonly at: string;
}

/**
 * Takes a bench file over. Everything is checked before the first write. Then each break is written in one strict
 * transaction after its photographs, so a crash leaves whole breaks only, and the same file can be taken over again.
 *
 * @param onStored – breaks that are on the disk now.
 * @returns numbers of the breaks by what became of them.
 * @throws BenchFileError with the reason, or cancelled; StoreError disk-full, terminated.
 */
export async function importBenchFile(
  db: BenchDatabase,
  file: Blob,
  importer: Importer,
  onStored: (breakIds: readonly string[]) => void,
  work: LongWork,
): Promise<BenchFileReport> {
  const checked = await checkBenchFile(file, work);
  const added: string[] = [];
  const same: string[] = [];
  const differing: { number: string; importedAs: string }[] = [];
  let originals = 0;
  const numbers = new Set((await db.getAll("summaries")).map((summary) => summary.number));
  await setMarker(db, { ...importer, breaks: checked.breaks.length });
  for (const [i, entry] of checked.breaks.entries()) {
    stopIfCancelled(work.signal);
    const incoming = readBreakFile(entry.filename, await readAgain(checked, entry.filename, entry, work.signal));
    originals += await storeOriginals(db, checked, incoming, work.signal);
    const copy = await copyUnderNewNumber(incoming, importer, numbers);
    const fate = await storeBreak(db, incoming, copy);
    if (fate === "added") added.push(incoming.record.number);
    else if (fate === "same") same.push(incoming.record.number);
    else differing.push({ number: incoming.record.number, importedAs: copy.record.number });
    if (fate !== "same") {
      const stored = fate === "added" ? incoming.record : copy.record;
      numbers.add(stored.number);
      onStored([stored.id]);
    }
    work.onProgress?.({ done: i + 1, total: checked.breaks.length, what: "breaks" });
  }
  await setMarker(db, undefined);
  return { added, same, differing, originals };
}

const setMarker = (db: BenchDatabase, marker: unknown): Promise<void> =>
  strictly(db, ["settings"], async (tx) => {
    if (marker === undefined) await tx.objectStore("settings").delete(IMPORT_UNDER_WAY);
    else await tx.objectStore("settings").put(marker, IMPORT_UNDER_WAY);
  });

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
  checked: CheckedBenchFile,
  { record, log }: BreakFile,
  signal: AbortSignal | undefined,
): Promise<number> {
  let stored = 0;
  let batch: { hash: string; blob: Blob; fileName: string; mediaType: string }[] = [];
  let bytesInBatch = 0;
  const flush = async (): Promise<void> => {
    const now = batch;
    batch = [];
    bytesInBatch = 0;
    if (now.length === 0) return;
    await strictly(db, ["originals"], async (tx) => {
      await Promise.all(now.map(({ hash, ...original }) => tx.objectStore("originals").put(original, hash)));
    });
    stored += now.length;
  };
  for (const { hash, fileName } of namedPhotographs(record, log).values()) {
    const original = checked.originals.get(hash);
    if (!original || (await db.getKey("originals", hash)) !== undefined) continue;
    const { entry, kind } = original;
    const bytes = await readAgain(checked, entry.filename, entry, signal);
    batch.push({ hash, blob: new Blob([bytes], { type: kind.mediaType }), fileName, mediaType: kind.mediaType });
    bytesInBatch += bytes.byteLength;
    if (bytesInBatch >= BATCH_BYTES) await flush();
  }
  await flush();
  return stored;
}

/**
 * The same break under an identifier of its own. The identifier follows from the content, so that the same file
 * taken over twice makes one copy.
 */
async function copyUnderNewNumber(
  incoming: BreakFile,
  { by, at }: Importer,
  taken: ReadonlySet<string>,
): Promise<BreakFile> {
  const id = `copy-${await sha256OfText(canonicalJson([incoming.record, incoming.log]))}`;
  const base = incoming.record.number.replace(/ \(\d+\)$/, "");
  let count = 2;
  while (taken.has(`${base} (${count})`)) count++;
  const edit = { kind: "set-number", number: `${base} (${count})` } as const;
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

/** Compares and writes in one transaction, so that nothing can come between. */
function storeBreak(db: BenchDatabase, incoming: BreakFile, copy: BreakFile): Promise<"added" | "same" | "copied"> {
  return strictly(db, ["breaks", "summaries", "log"], async (tx) => {
    const { id } = incoming.record;
    const [record, copied, log] = await Promise.all([
      tx.objectStore("breaks").get(id),
      tx.objectStore("breaks").getKey(copy.record.id),
      tx.objectStore("log").index("breakId").getAll(id),
    ]);
    if (record !== undefined && (copied !== undefined || sameBreak(incoming, record, storedEntries(log))))
      return "same";
    const whole = record === undefined ? incoming : copy;
    await Promise.all([
      tx.objectStore("breaks").put(whole.record),
      tx.objectStore("summaries").put(summarise(whole.record, whole.suggested)),
    ]);
    // One after the other: a line that takes back another needs the number the database gave that one.
    const numbers = new Map<number, number>();
    for (const { n, of, ...line } of whole.log) {
      const entry = { ...line, breakId: whole.record.id, of: of === null ? null : (numbers.get(of) ?? null) };
      numbers.set(n, (await addEntry(tx, entry)).seq);
    }
    return record === undefined ? "added" : "copied";
  });
}

/** The suggestion is not compared: it follows from the record and from the version of the rules. */
function sameBreak(incoming: BreakFile, record: WireBreak, log: Parameters<typeof breakFile>[1]): boolean {
  const { suggested } = incoming;
  return canonicalJson(incoming) === canonicalJson(breakFile(record, log, suggested));
}
