import { StoreError } from "./contract.ts";
import { asStoreError } from "./store-failure.ts";

/** The right to write: one tab has it, the others wait for it. */
export interface WritingTab {
  readonly mode: "writer" | "reader";
  /** Gives the right up, or stops waiting for it. */
  leave(): void;
}

/**
 * Asks for the right to write. If another tab has it, this one reads and waits in the queue; the browser hands the
 * right over when the other tab closes, however it ends.
 *
 * @param onMode – told of every later change, never of the first answer.
 * @throws StoreError unavailable where the browser has no locks (page not opened on localhost or over https).
 */
export async function seekWriting(lockName: string, onMode: (mode: "writer" | "reader") => void): Promise<WritingTab> {
  if (!("locks" in navigator))
    throw new StoreError(
      "unavailable",
      "This browser cannot keep two tabs from writing at the same time.",
      "Open Endpair on localhost or over https, in a current browser.",
    );
  let mode: "writer" | "reader" = "reader";
  let left = false;
  let letGo: () => void = () => undefined;
  const kept = new Promise<void>((resolve) => (letGo = resolve));
  const waiting = new AbortController();

  const wait = (): void => {
    navigator.locks
      .request(lockName, { signal: waiting.signal }, () => {
        mode = "writer";
        onMode("writer");
        return kept;
      })
      .catch(lose);
  };
  /** Somebody took the right by force, or we stopped waiting for it. */
  const lose = (): void => {
    if (left) return;
    if (mode === "writer") wait();
    mode = "reader";
    onMode("reader");
  };

  const first = await new Promise<boolean>((resolve, reject) => {
    let answered = false;
    navigator.locks
      .request(lockName, { ifAvailable: true }, (lock) => {
        answered = true;
        resolve(lock !== null);
        return lock === null ? undefined : kept;
      })
      .catch((failure: unknown) => {
        if (answered) lose();
        else reject(asStoreError(failure));
      });
  });
  if (first) mode = "writer";
  else wait();

  return {
    get mode() {
      return mode;
    },
    leave() {
      left = true;
      mode = "reader";
      waiting.abort();
      letGo();
    },
  };
}
