import "../../model/break/jitless.ts";
import * as z from "zod";
import { BREAK_TYPE_IDS } from "../../model/evidence/break-type-ids.ts";
import { RecordError } from "../../model/break/record-error.ts";
import { parseWireBreak } from "../../model/break/record-schema.ts";
import { BenchFileError } from "./bench-file-error.ts";
import type { BreakFile } from "./bench-file-format.ts";
import { BENCH_FILE_VERSION, BREAK_FILE_FORMAT, breakPath } from "./bench-file-format.ts";
import { fileLogEntrySchema } from "./edit-schema.ts";

const MAX_LOG_LINES = 1_000_000;

const frame = z.strictObject({
  format: z.literal(BREAK_FILE_FORMAT),
  version: z.literal(BENCH_FILE_VERSION),
  suggested: z.enum([...BREAK_TYPE_IDS, "undetermined"]),
  record: z.unknown(),
  log: z.array(fileLogEntrySchema).max(MAX_LOG_LINES),
});

/** Text of a file as JSON. @throws BenchFileError damaged-record. */
export function readJson(path: string, bytes: Uint8Array): unknown {
  try {
    return JSON.parse(new TextDecoder("utf-8", { fatal: true, ignoreBOM: true }).decode(bytes));
  } catch {
    throw new BenchFileError("damaged-record", `${path} is no text that Endpair wrote.`);
  }
}

/**
 * The version a file names, before anything else of it is believed.
 *
 * @param known – versions that can be read.
 * @throws BenchFileError unknown-version.
 */
export function checkVersion(path: string, content: unknown, known: readonly number[] = [BENCH_FILE_VERSION]): void {
  const version = z.looseObject({ version: z.int().min(1) }).safeParse(content);
  if (version.success && !known.includes(version.data.version))
    throw new BenchFileError(
      "unknown-version",
      `${path} has version ${version.data.version}, which is not known here.`,
    );
}

/**
 * A break with its log from a bench file, every field checked. Text stays text, whatever it holds.
 *
 * @throws BenchFileError damaged-record, unknown-version, unexpected-entry (the break lies under another's name).
 */
export function readBreakFile(path: string, bytes: Uint8Array): BreakFile {
  const content = readJson(path, bytes);
  checkVersion(path, content);
  try {
    const { record, ...rest } = frame.parse(content);
    const whole: BreakFile = { ...rest, record: parseWireBreak(record) };
    if (breakPath(whole.record.id) !== path)
      throw new BenchFileError("unexpected-entry", `${path} holds a break that has another name.`);
    checkLog(path, whole);
    return whole;
  } catch (failure) {
    throw asBenchFileError(path, failure);
  }
}

/** The log leads to the record without a gap, and undo and redo point back at lines of it. */
function checkLog(path: string, { record, log }: BreakFile): void {
  const first = record.revision - log.length;
  const gap = log.some((line, i) => line.n !== i + 1 || line.revision !== first + i + 1 || (line.of ?? 0) >= line.n);
  if (first < 0 || gap) throw new BenchFileError("damaged-record", `The log of ${path} does not lead to its break.`);
}

function asBenchFileError(path: string, failure: unknown): BenchFileError {
  if (failure instanceof BenchFileError) return failure;
  if (failure instanceof RecordError)
    return new BenchFileError(
      failure.code === "newer-version" ? "unknown-version" : "damaged-record",
      `${path}: ${failure.message}`,
    );
  const where = failure instanceof z.ZodError ? (failure.issues[0]?.path.join(".") ?? "") : "";
  return new BenchFileError("damaged-record", `${path} has a field that is not right${where && `: ${where}`}.`);
}
