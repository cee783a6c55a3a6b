import { RecordError } from "./record-error.ts";
import { RECORD_VERSION } from "./wire-break.ts";

/** A record of unknown contents that names its version. */
export type VersionedRecord = Readonly<Record<string, unknown>> & { readonly version: number };

/** One step up: from the version of its place in the list (first = 1) to the next. Never mutates what it is given. */
export type Migration = (record: VersionedRecord) => Readonly<Record<string, unknown>>;

/** Steps are only ever appended, one per version; each is held by a frozen record of that version. */
export const MIGRATIONS: readonly Migration[] = [];

/**
 * A stored record brought to the present version, step by step.
 *
 * @param steps – the migrations to use; the list of this version unless a test brings its own.
 * @returns the record at version `steps.length + 1`, its contents still unchecked.
 * @throws RecordError `not-a-record`, `unknown-version`, `newer-version`.
 */
export function migrate(record: unknown, steps: readonly Migration[] = MIGRATIONS): VersionedRecord {
  const present = steps.length + 1;
  let now = versioned(record);
  if (now.version > present)
    throw new RecordError(
      [
        {
          code: "newer-version",
          field: "version",
          sentence: `This break was written by a newer Endpair (record version ${now.version}; this one reads up to ${present}).`,
        },
      ],
      "Update Endpair, then open it again.",
    );
  for (const step of steps.slice(now.version - 1)) now = versioned({ ...step(now), version: now.version + 1 });
  return now;
}

function versioned(record: unknown): VersionedRecord {
  if (typeof record !== "object" || record === null || Array.isArray(record) || !Object.hasOwn(record, "version"))
    throw new RecordError(
      [{ code: "not-a-record", field: "", sentence: "This is no break record: it names no version." }],
      "Choose a file that Endpair has written.",
    );
  const { version } = record as { readonly version: unknown };
  if (typeof version !== "number" || !Number.isInteger(version) || version < 1)
    throw new RecordError(
      [{ code: "unknown-version", field: "version", sentence: "The record version must be a whole number from 1 up." }],
      "Choose a file that Endpair has written.",
    );
  return record as VersionedRecord;
}

/** Fails to compile when a version is added without its migration. */
export const RECORD_VERSION_REACHED: 1 = RECORD_VERSION;
