/// <reference lib="webworker" />
import type { SafeInput, SafeOutput, SafeReply, SafeRequest, SafeRequestName } from "./protocol.ts";
import { JOURNAL, volumeName } from "./protocol.ts";
import type { SyncFile } from "./safe-files.ts";
import { SafeFiles } from "./safe-files.ts";

const scope = self as unknown as DedicatedWorkerGlobalScope;

/** A tab that just closed may hold the files a moment longer than its right to write. */
const PATIENCE_MS = 5_000;
const PAUSE_MS = 25;

let opened: SafeFiles | null = null;

function files(): SafeFiles {
  if (!opened) throw new DOMException("The safe is not open.", "InvalidStateError");
  return opened;
}

async function open(folderName: string): Promise<SafeFiles> {
  if (!("createSyncAccessHandle" in FileSystemFileHandle.prototype))
    throw new DOMException("This browser has no files of this kind.", "NotSupportedError");
  const root = await navigator.storage.getDirectory();
  const folder = await root.getDirectoryHandle(folderName, { create: true });
  const until = performance.now() + PATIENCE_MS;
  const hold = async (name: string): Promise<SyncFile> => {
    const handle = await folder.getFileHandle(name, { create: true });
    for (;;)
      try {
        return await (handle as unknown as { createSyncAccessHandle(): Promise<SyncFile> }).createSyncAccessHandle();
      } catch (failure) {
        const held = failure instanceof DOMException && failure.name === "NoModificationAllowedError";
        if (!held || performance.now() > until) throw failure;
        await new Promise((resolve) => setTimeout(resolve, PAUSE_MS));
      }
  };
  const there = new Set<string>();
  for await (const name of (folder as unknown as { keys(): AsyncIterable<string> }).keys()) there.add(name);
  const journal = await hold(JOURNAL);
  const volumes: SyncFile[] = [];
  do volumes.push(await hold(volumeName(volumes.length)));
  while (there.has(volumeName(volumes.length)));
  return new SafeFiles(journal, volumes, (number) => hold(volumeName(number)));
}

const decoder = new TextDecoder();

const HANDLE: { readonly [N in SafeRequestName]: (input: SafeInput<N>) => Promise<SafeOutput<N>> | SafeOutput<N> } = {
  async open({ folder }) {
    opened = await open(folder);
    return opened.sizes();
  },
  async keep({ originals }) {
    const places = await files().keep(originals);
    return { places, sizes: files().sizes() };
  },
  append: ({ text }) => files().append(text),
  cut(sizes) {
    files().cut(sizes);
    return files().sizes();
  },
  holds: (frame) => files().holds(frame),
  scan({ from, budget }) {
    const { frames, ...rest } = files().scan(from, budget);
    return { ...rest, frames: frames.map(({ content, ...place }) => ({ ...place, text: decoder.decode(content) })) };
  },
  read: (place) => files().read(place)?.buffer ?? null,
};

async function handle<N extends SafeRequestName>(name: N, input: SafeInput<N>): Promise<SafeOutput<N>> {
  return HANDLE[name](input);
}

async function answer({ id, name, input }: SafeRequest): Promise<void> {
  let reply: SafeReply;
  try {
    reply = { id, ok: true, output: await handle(name, input) };
  } catch (failure) {
    const words = failure instanceof Error ? failure : new Error(String(failure));
    reply = { id, ok: false, failure: { name: words.name, message: words.message } };
  }
  scope.postMessage(reply, reply.ok && reply.output instanceof ArrayBuffer ? [reply.output] : []);
}

/** One after the other: an original that is still being copied must not meet the next frame. */
let before: Promise<void> = Promise.resolve();
scope.onmessage = ({ data }: MessageEvent<SafeRequest>) => {
  before = before.then(() => answer(data));
};
