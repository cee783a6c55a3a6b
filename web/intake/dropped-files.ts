import { PictureError } from "../../model/picture/picture-error.ts";

/** A file and where it lay in what was dropped or chosen: folder names help to file it. */
export interface IncomingFile {
  readonly file: File;
  /** "folder/name.jpg", or the bare name. */
  readonly relativePath: string;
}

export interface Incoming {
  readonly files: readonly IncomingFile[];
  /** Folders and files that could not be listed, with the reason. */
  readonly leftOut: readonly { readonly relativePath: string; readonly error: PictureError }[];
}

const MAX_DEPTH = 8;
const MAX_FILES = 10_000;
/** What operating systems put into every folder; nobody chose them. */
const SYSTEM_FILES = new Set([".ds_store", "thumbs.db", "desktop.ini"]);

const isSystemFile = (name: string) => SYSTEM_FILES.has(name.toLowerCase()) || name.startsWith("._");

/** @returns the files of a file or folder input. */
export function filesFromInput(list: Iterable<File> | ArrayLike<File>): Incoming {
  const files = Array.from(list)
    .filter((file) => !isSystemFile(file.name))
    .map((file) => ({ file, relativePath: file.webkitRelativePath || file.name }));
  return { files: files.slice(0, MAX_FILES), leftOut: tooMany(files.slice(MAX_FILES).map((f) => f.relativePath)) };
}

/** @returns the pictures on the clipboard; empty when it holds only text. */
export function filesFromPaste(data: DataTransfer | null): Incoming {
  return filesFromInput(data?.files ?? []);
}

/**
 * Lists dropped files and folders, eight folders deep. Must be called inside the drop event: the list is gone after it.
 * @returns files in order of their path.
 */
export async function filesFromDataTransfer(data: DataTransfer | null): Promise<Incoming> {
  if (!data) return { files: [], leftOut: [] };
  const entries = Array.from(data.items)
    .filter((item) => item.kind === "file")
    .map((item) => item.webkitGetAsEntry());
  // Browsers give no entries for files that were made by a page.
  if (entries.every((entry) => entry === null)) return filesFromInput(data.files);
  const walk = new Walk();
  for (const entry of entries) if (entry) await walk.visit(entry, 0);
  const files = walk.files.sort((a, b) => (a.relativePath < b.relativePath ? -1 : 1));
  return { files, leftOut: walk.leftOut };
}

class Walk {
  readonly files: IncomingFile[] = [];
  readonly leftOut: { relativePath: string; error: PictureError }[] = [];

  async visit(entry: FileSystemEntry, depth: number): Promise<void> {
    const relativePath = entry.fullPath.replace(/^\//, "") || entry.name;
    try {
      if (entry.isDirectory) await this.#folder(entry as FileSystemDirectoryEntry, relativePath, depth);
      else if (!isSystemFile(entry.name)) {
        if (this.files.length >= MAX_FILES) this.leftOut.push(...tooMany([relativePath]));
        else this.files.push({ file: await fileOf(entry as FileSystemFileEntry), relativePath });
      }
    } catch {
      const error = new PictureError("decoder-failed", "The browser may not read this.", "Choose it with the button.");
      this.leftOut.push({ relativePath, error });
    }
  }

  async #folder(folder: FileSystemDirectoryEntry, relativePath: string, depth: number): Promise<void> {
    if (depth >= MAX_DEPTH) {
      const sentence = `This folder lies more than ${String(MAX_DEPTH)} folders deep.`;
      this.leftOut.push({ relativePath, error: new PictureError("too-large", sentence, "Drop the folder by itself.") });
      return;
    }
    const reader = folder.createReader();
    // A reader hands out its entries in portions and says with an empty one that there are no more.
    for (let portion = await portionOf(reader); portion.length > 0; portion = await portionOf(reader)) {
      for (const entry of portion) await this.visit(entry, depth + 1);
    }
  }
}

const fileOf = (entry: FileSystemFileEntry) =>
  new Promise<File>((resolve, reject) => {
    entry.file(resolve, reject);
  });

const portionOf = (reader: FileSystemDirectoryReader) =>
  new Promise<FileSystemEntry[]>((resolve, reject) => {
    reader.readEntries(resolve, reject);
  });

function tooMany(paths: readonly string[]): { relativePath: string; error: PictureError }[] {
  const sentence = `More than ${String(MAX_FILES)} files at a time.`;
  return paths.map((relativePath) => ({
    relativePath,
    error: new PictureError("too-large", sentence, "Add the rest in a second go."),
  }));
}
