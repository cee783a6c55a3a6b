import type { BenchStore } from "../storage/contract.ts";

/** What browsers that can open a folder for writing offer; the others do not know these words. */
interface FolderPicker {
  showDirectoryPicker(options: { readonly id: string; readonly mode: "readwrite" }): Promise<FileSystemDirectoryHandle>;
}
interface AsksPermission {
  queryPermission(options: { readonly mode: "readwrite" }): Promise<PermissionState>;
  requestPermission(options: { readonly mode: "readwrite" }): Promise<PermissionState>;
}
const offersFolders = (scope: object): scope is FolderPicker => "showDirectoryPicker" in scope;
const asks = (handle: object): handle is AsksPermission => "requestPermission" in handle;

const FOLDER = "exchange-folder";
const BENCH = "exchange-bench";
const SEEN = "exchange-seen";

export const canOpenFolders = (): boolean => offersFolders(window);

/** Lets the person choose a folder. @returns null when the dialog was closed. */
export async function chooseFolder(): Promise<FileSystemDirectoryHandle | null> {
  if (!offersFolders(window)) return null;
  try {
    return await window.showDirectoryPicker({ id: "endpair-meeting-point", mode: "readwrite" });
  } catch (error) {
    if (error instanceof DOMException && error.name === "AbortError") return null;
    throw error;
  }
}

/** The folder chosen before; null when there is none, or when the bench was had back from its second copy since. */
export async function keptFolder(store: BenchStore): Promise<FileSystemDirectoryHandle | null> {
  const kept = await store.getSetting(FOLDER);
  return kept instanceof FileSystemDirectoryHandle ? kept : null;
}
export const keepFolder = (store: BenchStore, folder: FileSystemDirectoryHandle | null): Promise<void> =>
  store.setSetting(FOLDER, folder ?? undefined);

/** Whether the browser lets us use the folder. Asking is only allowed while a press is being answered. */
export async function mayUse(folder: FileSystemDirectoryHandle): Promise<boolean> {
  if (!asks(folder)) return true;
  const mode = { mode: "readwrite" } as const;
  if ((await folder.queryPermission(mode)) === "granted") return true;
  return (await folder.requestPermission(mode)) === "granted";
}

export interface OwnBench {
  readonly id: string;
  readonly name: string;
}
export const ownBench = async (store: BenchStore): Promise<OwnBench | null> =>
  (await store.getSetting<OwnBench>(BENCH)) ?? null;
export const keepOwnBench = (store: BenchStore, bench: OwnBench): Promise<void> => store.setSetting(BENCH, bench);

/** What of other benches was taken over: bench → path of a break → hash of its text. */
export type SeenBreaks = Readonly<Record<string, Readonly<Record<string, string>>>>;
export const seenBreaks = async (store: BenchStore): Promise<SeenBreaks> =>
  (await store.getSetting<SeenBreaks>(SEEN)) ?? {};
export const keepSeen = (store: BenchStore, seen: SeenBreaks): Promise<void> => store.setSetting(SEEN, seen);
