/** Where a file is written to: a file the person chose, or a download. */
export interface FileTarget {
  readonly stream: WritableStream<Uint8Array>;
  /** Hands the finished file over; call it once the stream is closed. */
  finish(): Promise<void>;
  /** Takes away what was written of a file that was not finished. */
  discard(): Promise<void>;
}

interface SaveFilePicker {
  showSaveFilePicker(options: {
    suggestedName: string;
    types: readonly { description: string; accept: Record<string, readonly string[]> }[];
  }): Promise<FileSystemFileHandle>;
}
const offersPicker = (scope: object): scope is SaveFilePicker => "showSaveFilePicker" in scope;

/**
 * Opens a place for a zip file: the browser's own dialog where it has one; else the private disk of the page, from
 * where it goes to the downloads; else memory.
 *
 * @param what – kind of file, as the dialog names it.
 * @returns null when the person closed the dialog.
 */
export async function openFileTarget(name: string, what = "Bench file"): Promise<FileTarget | null> {
  if (offersPicker(window)) {
    try {
      const handle = await window.showSaveFilePicker({
        suggestedName: name,
        types: [{ description: what, accept: { "application/zip": [".zip"] } }],
      });
      // Closing the stream puts the file in place; aborting it leaves what was there before.
      return { stream: await handle.createWritable(), finish: nothing, discard: nothing };
    } catch (error) {
      if (error instanceof DOMException && error.name === "AbortError") return null;
      throw error;
    }
  }
  return (await onPrivateDisk(name)) ?? inMemory(name);
}

const nothing = (): Promise<void> => Promise.resolve();

async function onPrivateDisk(name: string): Promise<FileTarget | null> {
  if (typeof FileSystemFileHandle === "undefined" || !("createWritable" in FileSystemFileHandle.prototype)) return null;
  const folder = await navigator.storage.getDirectory();
  const handle = await folder.getFileHandle(name, { create: true });
  return {
    stream: await handle.createWritable(),
    // The file stays until the next export: a browser may still be copying it to the downloads.
    finish: async () => download(await handle.getFile(), name),
    discard: () => folder.removeEntry(name),
  };
}

function inMemory(name: string): FileTarget {
  const parts: Uint8Array<ArrayBuffer>[] = [];
  return {
    stream: new WritableStream({ write: (part) => void parts.push(new Uint8Array(part)) }),
    finish: () => Promise.resolve(download(new Blob(parts, { type: "application/zip" }), name)),
    discard: nothing,
  };
}

const KEEP_URL_MS = 60_000;

export function download(file: Blob, name: string): void {
  const url = URL.createObjectURL(file);
  const link = document.createElement("a");
  link.href = url;
  link.download = name;
  document.body.append(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(url), KEEP_URL_MS);
}
