import { StoreError } from "../contract.ts";
import { terminated } from "../store-failure.ts";
import { folderName, hasFileSystem } from "./folder.ts";
import type { FramePlace } from "./frame.ts";
import type { SafeInput, SafeOutput, SafeReply, SafeRequestName, TextScan } from "./protocol.ts";
import type { Place, SafeSizes } from "./safe-files.ts";

interface Waiting {
  readonly resolve: (output: never) => void;
  readonly reject: (failure: unknown) => void;
}

/**
 * The safe of a bench as the writing tab sees it: files of our own beside the database, with checksums of our own, so
 * that what was called saved outlives a database that the browser finds damaged and throws away.
 */
export class Safe {
  readonly #worker: Worker;
  readonly #waiting = new Map<number, Waiting>();
  #lastId = 0;
  #gone: StoreError | null = null;
  #sizes: SafeSizes = { journal: 0, volumes: [] };

  private constructor(worker: Worker) {
    this.#worker = worker;
    worker.onmessage = ({ data }: MessageEvent<SafeReply>) => this.#take(data);
    worker.onerror = (event) => {
      event.preventDefault();
      this.#end(broken());
    };
    worker.onmessageerror = () => this.#end(broken());
  }

  /**
   * Opens the files of a bench, and makes them where there are none.
   *
   * @param bench – its name.
   * @returns null where this browser has no such files.
   * @throws DOMException NoModificationAllowedError (a tab that does not let go), QuotaExceededError, …
   */
  static async open(bench: string): Promise<Safe | null> {
    if (!(await hasFileSystem())) return null;
    const safe = new Safe(new Worker(new URL("./safe.worker.ts", import.meta.url), { type: "module", name: "safe" }));
    try {
      safe.#sizes = await safe.#ask("open", { folder: folderName(bench) });
      return safe;
    } catch (failure) {
      safe.close();
      if (failure instanceof DOMException && failure.name === "NotSupportedError") return null;
      throw failure;
    }
  }

  /** Sizes after the last write. */
  get sizes(): SafeSizes {
    return this.#sizes;
  }

  /** Appends originals; they are on the disk when the promise resolves. */
  async keep(originals: readonly Blob[]): Promise<readonly Place[]> {
    const { places, sizes } = await this.#ask("keep", { originals });
    this.#sizes = sizes;
    return places;
  }

  /** Appends a frame; it is on the disk when the promise resolves. */
  async append(text: string): Promise<FramePlace> {
    const frame = await this.#ask("append", { text });
    this.#sizes = { ...this.#sizes, journal: frame.end };
    return frame;
  }

  /** Takes back what was written since these sizes were taken. */
  async cut(sizes: SafeSizes): Promise<void> {
    this.#sizes = await this.#ask("cut", sizes);
  }

  /** Whether this very frame lies in the journal. */
  holds(frame: FramePlace): Promise<boolean> {
    return this.#ask("holds", frame);
  }

  scan(from: number, budget: number): Promise<TextScan> {
    return this.#ask("scan", { from, budget });
  }

  /** Bytes of an original; null when they are not there. */
  read(place: Place): Promise<ArrayBuffer | null> {
    return this.#ask("read", place);
  }

  /** Lets the files go. Whatever was not answered fails. */
  close(): void {
    this.#end(terminated());
  }

  #ask<N extends SafeRequestName>(name: N, input: SafeInput<N>): Promise<SafeOutput<N>> {
    if (this.#gone !== null) return Promise.reject(this.#gone);
    return new Promise((resolve, reject) => {
      const id = ++this.#lastId;
      this.#waiting.set(id, { resolve, reject });
      this.#worker.postMessage({ id, name, input });
    });
  }

  #take(reply: SafeReply): void {
    const waiting = this.#waiting.get(reply.id);
    this.#waiting.delete(reply.id);
    if (reply.ok) waiting?.resolve(reply.output as never);
    else waiting?.reject(new DOMException(reply.failure.message, reply.failure.name));
  }

  #end(reason: StoreError): void {
    if (this.#gone !== null) return;
    this.#gone = reason;
    this.#worker.terminate();
    for (const { reject } of this.#waiting.values()) reject(reason);
    this.#waiting.clear();
  }
}

const broken = (): StoreError =>
  new StoreError(
    "unavailable",
    "The part of Endpair that keeps the second copy stopped.",
    "Reload this page; everything that was called saved is unharmed.",
  );
