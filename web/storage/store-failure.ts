import { StoreError } from "./contract.ts";

const nameOf = (failure: unknown): string =>
  typeof failure === "object" && failure !== null && "name" in failure ? String(failure.name) : "";

const sentence = (failure: unknown): string =>
  failure instanceof Error && failure.message !== "" ? failure.message : nameOf(failure) || "no reason given";

/** Whether a failure means that the disk or the browser's share of it is full. The name decides: the message is empty. */
export const isDiskFull = (failure: unknown): boolean => nameOf(failure) === "QuotaExceededError";

/** The failure in words for a connection that is gone. */
export const terminated = (): StoreError =>
  new StoreError(
    "terminated",
    "The bench on this disk was closed by the browser.",
    "Save the bench file if you have unsaved work, then reload this page.",
  );

/** The failure in words for a bench that a newer Endpair has taken over. */
export const newerVersion = (): StoreError =>
  new StoreError(
    "newer-version",
    "The bench on this disk was opened by a newer version of Endpair.",
    "Reload this page to get the newer version; nothing was changed.",
  );

/** The failure in words for a write from a tab that only reads. */
export const readOnly = (): StoreError =>
  new StoreError(
    "read-only",
    "Another tab is writing on this bench, so this one only reads.",
    "Go on in the other tab, or close it: this tab then takes over by itself.",
  );

/**
 * Puts what the browser threw into words.
 *
 * @param failures – everything that one operation threw (request and transaction often fail differently);
 * a full disk wins, then the first that is in words already, then the first.
 * @returns StoreError with the code disk-full, newer-version, terminated, damaged-record or unavailable.
 */
export function asStoreError(...failures: readonly unknown[]): StoreError {
  if (failures.some(isDiskFull))
    return new StoreError(
      "disk-full",
      "The disk is full: this change was not saved. Everything saved before it is unharmed.",
      "Save the bench file to another disk, then free space and try again.",
    );
  const inWords = failures.find((failure) => failure instanceof StoreError);
  if (inWords) return inWords;
  const failure = failures.find((one) => one !== null && one !== undefined);
  switch (nameOf(failure)) {
    case "VersionError":
      return newerVersion();
    case "InvalidStateError":
    case "AbortError":
      return terminated();
    case "DataCloneError":
      return new StoreError(
        "damaged-record",
        `This change cannot be stored as it stands: ${sentence(failure)}.`,
        "Undo the last step and report it; nothing was written.",
      );
    case "DataError":
    case "NotReadableError":
      return new StoreError(
        "unavailable",
        `A photograph could not be copied into the bench (${sentence(failure)}). Nothing of this change was saved.`,
        "Its file was moved, changed or unplugged: choose it again.",
      );
    default:
      return new StoreError(
        "unavailable",
        `The browser could not use its storage (${sentence(failure)}).`,
        "Check that the page is not in a private window and that site data is allowed, then reload.",
      );
  }
}
