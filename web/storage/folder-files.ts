import { isDiskFull } from "./store-failure.ts";

/** Why the meeting point could not be used. `message` is a plain sentence, `next` the next step. */
export class FolderError extends Error {
  constructor(
    readonly code: "gone" | "not-allowed" | "full" | "failed",
    message: string,
    readonly next: string,
  ) {
    super(message);
    this.name = "FolderError";
  }
}

/** Largest list or break that is read from the folder, bytes. */
export const TEXT_BYTES = 64 * 1024 * 1024;

/** The browser writes beside the place, and puts the file there when it is closed: a file is there whole or not at all. */
export async function put(
  folder: FileSystemDirectoryHandle,
  name: string,
  bytes: Uint8Array<ArrayBuffer>,
): Promise<void> {
  const stream = await (await folder.getFileHandle(name, { create: true })).createWritable();
  try {
    await stream.write(bytes);
    await stream.close();
  } catch (failure) {
    await stream.abort().catch(() => undefined); // Closing may have failed already; what counts is the first failure.
    throw failure;
  }
}

export async function folderIn(
  parent: FileSystemDirectoryHandle | null,
  name: string,
  create: true,
): Promise<FileSystemDirectoryHandle>;
export async function folderIn(
  parent: FileSystemDirectoryHandle | null,
  name: string,
  create: boolean,
): Promise<FileSystemDirectoryHandle | null>;
export async function folderIn(
  parent: FileSystemDirectoryHandle | null,
  name: string,
  create: boolean,
): Promise<FileSystemDirectoryHandle | null> {
  return parent === null ? null : orAbsent(parent.getDirectoryHandle(name, { create }), create);
}

export async function bytesOf(
  folder: FileSystemDirectoryHandle | null,
  name: string,
  most: number,
): Promise<Uint8Array<ArrayBuffer> | null> {
  const handle = folder && (await orAbsent(folder.getFileHandle(name), false));
  if (!handle) return null;
  const file = await handle.getFile();
  return file.size === 0 || file.size > most ? null : new Uint8Array(await file.arrayBuffer());
}

export async function textOf(folder: FileSystemDirectoryHandle, name: string): Promise<string | null> {
  const bytes = await bytesOf(folder, name, TEXT_BYTES);
  return bytes && new TextDecoder().decode(bytes);
}

export function jsonOf(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return null; // Judged by the schema, which says what to do.
  }
}

async function orAbsent<T>(work: Promise<T>, mustBe: boolean): Promise<T | null> {
  try {
    return await work;
  } catch (failure) {
    if (!mustBe && failure instanceof DOMException && failure.name === "NotFoundError") return null;
    throw failure;
  }
}

export async function inWords<T>(work: () => Promise<T>): Promise<T> {
  try {
    return await work();
  } catch (failure) {
    const name = failure instanceof DOMException ? failure.name : "";
    if (isDiskFull(failure))
      throw new FolderError(
        "full",
        "The disk of the meeting point is full.",
        "Free space there, then exchange again: what was written is whole, the rest follows.",
      );
    if (name === "NotFoundError")
      throw new FolderError(
        "gone",
        "The folder of the meeting point cannot be reached.",
        "Connect the network drive or plug the disk in, then exchange again; nothing is lost.",
      );
    if (name === "NotAllowedError" || name === "SecurityError" || name === "NoModificationAllowedError")
      throw new FolderError(
        "not-allowed",
        "The browser may not use the folder of the meeting point.",
        "Press “Exchange” again and allow it, or choose the folder anew.",
      );
    if (failure instanceof DOMException && name !== "AbortError")
      throw new FolderError("failed", `The meeting point could not be used (${name}).`, "Exchange again in a moment.");
    throw failure;
  }
}
