import type { LongWork, Progress } from "../storage/contract.ts";

/** Long work a person can watch and cancel while going on with other things. One at a time. */
export class LongTask {
  /** What is being done, null = nothing. */
  title = $state<string | null>(null);
  progress = $state.raw<Progress | null>(null);
  cancelling = $state(false);
  #abort: AbortController | null = null;

  get running(): boolean {
    return this.title !== null;
  }

  /** @returns null when other work is still running. @throws what the work throws. */
  async run<T>(
    title: string,
    work: (long: LongWork & { readonly signal: AbortSignal }) => Promise<T>,
  ): Promise<T | null> {
    if (this.running) return null;
    const abort = new AbortController();
    this.#abort = abort;
    this.title = title;
    try {
      return await work({ signal: abort.signal, onProgress: (progress) => (this.progress = progress) });
    } finally {
      this.#abort = null;
      this.title = null;
      this.progress = null;
      this.cancelling = false;
    }
  }

  cancel(): void {
    this.cancelling = this.#abort !== null;
    this.#abort?.abort();
  }
}
