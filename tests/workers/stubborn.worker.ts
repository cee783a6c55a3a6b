/// <reference lib="webworker" />
import type { ReplyMessage, RequestMessage } from "../../web/workers/protocol.ts";

// A worker that does what a decoder must never do, told by the length of the file:
// 1 never returns, 2 dies, 3 answers a request nobody made before its own, else answers at once.
const scope = self as unknown as DedicatedWorkerGlobalScope;

scope.onmessage = ({ data }: MessageEvent<RequestMessage>) => {
  const { size } = data.input.blob;
  if (size === 1) for (;;);
  if (size === 2) throw new Error("the decoder died");
  const reply: ReplyMessage = { id: data.id, ok: true, output: new Blob([`size ${String(size)}`]) };
  if (size === 3) scope.postMessage({ ...reply, id: data.id + 1000 });
  scope.postMessage(reply);
};
