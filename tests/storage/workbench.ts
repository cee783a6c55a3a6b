import { afterEach } from "vitest";
import type { Edit } from "../../model/break/edits.ts";
import { applyEdit } from "../../model/break/edits.ts";
import { newBreak } from "../../model/break/new-break.ts";
import type { Mark, Photograph, WireBreak } from "../../model/break/wire-break.ts";
import { sha256Hex } from "../../web/storage/canonical.ts";
import type { BenchStore, Commit, EditOrigin, NewLogEntry, NewOriginal } from "../../web/storage/contract.ts";
import { openBench } from "../../web/storage/open-bench.ts";
import { summarise } from "../../web/storage/summary.ts";

export const AT = "2026-03-02T08:00:00Z";
export const now = (): string => AT;

const opened = new Set<BenchStore>();
const names = new Set<string>();
let counter = 0;

/** A name no other test uses; its database is deleted after the test. */
export function freshName(): string {
  const name = `test-${Date.now()}-${++counter}`;
  names.add(name);
  return name;
}

export async function open(name: string = freshName()): Promise<BenchStore> {
  const store = await openBench({ now, name });
  opened.add(store);
  return store;
}

/** Closes a bench and waits until another can become the writer. */
export async function shut(store: BenchStore): Promise<void> {
  store.close();
  opened.delete(store);
  await new Promise((resolve) => setTimeout(resolve, 20));
}

afterEach(async () => {
  for (const store of opened) store.close();
  opened.clear();
  for (const name of names)
    await new Promise<void>((resolve, reject) => {
      const request = indexedDB.deleteDatabase(name);
      request.onsuccess = () => resolve();
      request.onerror = () => reject(new Error(`${name} could not be deleted`));
    });
  const root = await navigator.storage.getDirectory();
  for (const name of names) await removeFolder(root, `endpair-safe-${name}`);
  names.clear();
});

/** A tab that just closed may hold its files a moment longer. */
async function removeFolder(root: FileSystemDirectoryHandle, folder: string): Promise<void> {
  for (let attempt = 1; ; attempt++)
    try {
      return await root.removeEntry(folder, { recursive: true });
    } catch (failure) {
      const reason = failure instanceof DOMException ? failure.name : "";
      if (reason === "NotFoundError") return;
      if (reason !== "NoModificationAllowedError" || attempt === 100) throw failure;
      await new Promise((resolve) => setTimeout(resolve, 20));
    }
}

/** A break together with the log lines that are not stored yet. */
export class Working {
  readonly #entries: NewLogEntry[] = [];

  constructor(public record: WireBreak) {}

  edit(edit: Edit, origin: EditOrigin = "reader", of: number | null = null): this {
    const { next, inverse } = applyEdit(this.record, edit, AT);
    this.record = next;
    this.#entries.push({
      breakId: next.id,
      revision: next.revision,
      edit,
      inverse,
      origin,
      of,
      by: "A. Reader",
      at: AT,
    });
    return this;
  }

  commit(originals: readonly NewOriginal[] = []): Commit {
    return {
      entries: this.#entries.splice(0),
      records: [{ record: this.record, summary: summarise(this.record, "undetermined") }],
      originals,
    };
  }
}

export const working = (id: string, number = `B-${id}`): Working => new Working(newBreak(id, number, AT));

export function mark(id: string, photographId: string | null = null): Mark {
  return {
    id,
    feature: "end_hole",
    state: "present",
    photographId,
    geometry: photographId === null ? null : { type: "ellipse", cx: 120.5, cy: 80, rx: 30, ry: 20, angle_deg: 12 },
    given: {},
    note: "",
    by: "A. Reader",
    at: AT,
  };
}

export const addMark = (id: string, index = 0): Edit => ({ kind: "add-mark", side: "machine", index, mark: mark(id) });

/** Bytes of a photograph as far as its first bytes go: storage never decodes. */
export function jpegBytes(length: number, seed: number): Uint8Array<ArrayBuffer> {
  const bytes = new Uint8Array(length);
  let state = seed >>> 0 || 1;
  for (let i = 0; i < length; i++) {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    bytes[i] = state >>> 24;
  }
  bytes.set([0xff, 0xd8, 0xff, 0xe0]);
  return bytes;
}

export async function newOriginal(bytes: Uint8Array<ArrayBuffer>, fileName = "end.jpg"): Promise<NewOriginal> {
  return {
    hash: await sha256Hex(bytes),
    original: new Blob([bytes], { type: "image/jpeg" }),
    fileName,
    mediaType: "image/jpeg",
    thumbnail: new Blob(["small"], { type: "image/jpeg" }),
    working: null,
  };
}

export function photograph(id: string, original: NewOriginal): Photograph {
  return {
    id,
    hash: original.hash,
    fileName: original.fileName,
    mediaType: original.mediaType,
    byteLength: original.original.size,
    widthPx: 400,
    heightPx: 300,
    orientation: 1,
    capturedAt: "2026-03-02T07:55:00",
    view: "end_on",
    turnDeg: 0,
    scale: null,
    axisDeg: null,
    rendered: false,
  };
}

/** A break with one photograph on the machine end and a mark on it, stored. */
export async function storeBreakWithPhotograph(store: BenchStore, id: string, seed: number): Promise<Working> {
  const original = await newOriginal(jpegBytes(4_000, seed), `${id}.jpg`);
  const work = working(id)
    .edit({ kind: "add-photograph", side: "machine", index: 0, photograph: photograph(`${id}-p`, original) })
    .edit({ kind: "add-mark", side: "machine", index: 0, mark: mark(`${id}-m`, `${id}-p`) });
  await store.commit(work.commit([original]));
  return work;
}

export const bytesOf = async (blob: Blob | null): Promise<number[] | null> =>
  blob === null ? null : Array.from(new Uint8Array(await blob.arrayBuffer()));

/** What a promise rejects with; fails when it does not. */
export async function rejection(promise: Promise<unknown>): Promise<unknown> {
  try {
    await promise;
  } catch (failure) {
    return failure;
  }
  throw new Error("It was expected to fail, and did not.");
}
