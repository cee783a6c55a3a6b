/** A browser may ask the person first, so its answer is not waited for longer than this. */
const PATIENCE_MS = 1_000;

/**
 * Asks the browser to keep the bench even when the disk runs low.
 *
 * @returns its answer; null when it gives none (in time). Without the promise, exports matter all the more.
 */
export async function askToKeep(): Promise<boolean | null> {
  if (typeof navigator.storage?.persist !== "function") return null;
  let timer: ReturnType<typeof setTimeout> | undefined;
  const tooLate = new Promise<null>((resolve) => {
    timer = setTimeout(() => resolve(null), PATIENCE_MS);
  });
  try {
    if (await navigator.storage.persisted()) return true;
    return await Promise.race([navigator.storage.persist(), tooLate]);
  } catch {
    return null; // A browser that refuses the question has not promised anything.
  } finally {
    clearTimeout(timer);
  }
}
