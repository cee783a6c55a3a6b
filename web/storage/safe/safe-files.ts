import type { FramePlace, FrameSource, Scan } from "./frame.ts";
import { frameAt, frameOf, scanFrames } from "./frame.ts";

/** A file that is read and written at once, without waiting; browsers offer it to workers only. */
export interface SyncFile {
  read(into: Uint8Array, options: { at: number }): number;
  write(bytes: Uint8Array, options: { at: number }): number;
  flush(): void;
  truncate(size: number): void;
  getSize(): number;
  close(): void;
}

/** Where the bytes of an original lie. */
export interface Place {
  readonly volume: number;
  readonly offset: number;
  readonly length: number;
}

/** Sizes of the files of the safe, bytes: what lies beyond can be cut off again. */
export interface SafeSizes {
  readonly journal: number;
  readonly volumes: readonly number[];
}

/** New files are rare on purpose: the list of files is the one thing here that the browser keeps in its own way. */
export const VOLUME_BYTES = 512 * 1024 * 1024;

/** An original is copied this many bytes at a time. */
const COPY_BYTES = 8 * 1024 * 1024;

/**
 * The files of the safe: a journal of frames and the volumes with the bytes of the originals. Both only grow.
 * Nothing counts as written before its `flush` came back.
 */
export class SafeFiles {
  readonly #journal: SyncFile;
  readonly #volumes: SyncFile[];
  readonly #addVolume: (number: number) => Promise<SyncFile>;
  readonly #volumeBytes: number;

  constructor(
    journal: SyncFile,
    volumes: readonly SyncFile[],
    addVolume: (number: number) => Promise<SyncFile>,
    volumeBytes = VOLUME_BYTES,
  ) {
    this.#journal = journal;
    this.#volumes = [...volumes];
    this.#addVolume = addVolume;
    this.#volumeBytes = volumeBytes;
  }

  sizes(): SafeSizes {
    return { journal: this.#journal.getSize(), volumes: this.#volumes.map((file) => file.getSize()) };
  }

  /** Appends originals to the volumes and flushes. */
  async keep(originals: readonly Blob[]): Promise<Place[]> {
    const places: Place[] = [];
    const touched = new Set<SyncFile>();
    for (const original of originals) {
      const { file, volume } = await this.#volumeFor(original.size);
      touched.add(file);
      const offset = file.getSize();
      for (let at = 0; at < original.size; at += COPY_BYTES)
        writeWhole(file, new Uint8Array(await original.slice(at, at + COPY_BYTES).arrayBuffer()), offset + at);
      places.push({ volume, offset, length: original.size });
    }
    for (const file of touched) file.flush();
    return places;
  }

  /** Appends one frame to the journal and flushes. */
  append(text: string): FramePlace {
    const { bytes, crc } = frameOf(new TextEncoder().encode(text));
    const start = this.#journal.getSize();
    writeWhole(this.#journal, bytes, start);
    this.#journal.flush();
    return { start, end: start + bytes.byteLength, crc };
  }

  /** Takes back what was written after these sizes were taken. */
  cut({ journal, volumes }: SafeSizes): void {
    cutFile(this.#journal, journal);
    for (const [i, file] of this.#volumes.entries()) cutFile(file, volumes[i] ?? 0);
  }

  holds(frame: FramePlace): boolean {
    const found = frameAt(this.#source(), frame.start);
    return typeof found === "object" && found?.end === frame.end && found.crc === frame.crc;
  }

  scan(from: number, budget: number): Scan {
    return scanFrames(this.#source(), from, budget);
  }

  /** The bytes at a place; null when the volume ends before. */
  read({ volume, offset, length }: Place): Uint8Array<ArrayBuffer> | null {
    const bytes = new Uint8Array(length);
    return this.#volumes[volume]?.read(bytes, { at: offset }) === length ? bytes : null;
  }

  close(): void {
    for (const file of [this.#journal, ...this.#volumes]) file.close();
  }

  async #volumeFor(length: number): Promise<{ readonly file: SyncFile; readonly volume: number }> {
    const last = this.#volumes.at(-1);
    const size = last?.getSize() ?? 0;
    if (last && (size === 0 || size + length <= this.#volumeBytes))
      return { file: last, volume: this.#volumes.length - 1 };
    const file = await this.#addVolume(this.#volumes.length);
    return { file, volume: this.#volumes.push(file) - 1 };
  }

  #source(): FrameSource {
    const file = this.#journal;
    return {
      size: file.getSize(),
      read(start, end) {
        const bytes = new Uint8Array(end - start);
        return bytes.subarray(0, file.read(bytes, { at: start }));
      },
    };
  }
}

function writeWhole(file: SyncFile, bytes: Uint8Array, at: number): void {
  if (file.write(bytes, { at }) !== bytes.byteLength)
    throw new DOMException("The file took only a part of it.", "QuotaExceededError");
}

function cutFile(file: SyncFile, size: number): void {
  if (file.getSize() <= size) return;
  file.truncate(size);
  file.flush();
}
