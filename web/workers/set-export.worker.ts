/// <reference lib="webworker" />
import { PictureError } from "../../model/picture/picture-error.ts";
import { type SourceBreak, writeSet } from "../../model/reference/export/write-set.ts";
import { sha256Hex } from "../storage/canonical.ts";
import { serve } from "./serve.ts";
import type { ExportAnswer, ExportAsk, SetExportRequests } from "./set-export-protocol.ts";
import { cropped } from "./set-crop.ts";
import { redrawn } from "./set-redraw.ts";
import { setSink } from "./set-sink.ts";

/** Asks the page and waits for the answer; the questions of `writeSet` come one after the other. */
function asking(port: MessagePort) {
  const waiting: ((answer: ExportAnswer) => void)[] = [];
  port.onmessage = ({ data }: MessageEvent<ExportAnswer>) => waiting.shift()?.(data);
  return async (ask: ExportAsk, transfer: Transferable[] = []): Promise<SourceBreak | Blob | null> => {
    const answer = await new Promise<ExportAnswer>((resolve) => {
      waiting.push(resolve);
      port.postMessage(ask, transfer);
    });
    if (!answer.ok) throw new PictureError("cancelled", "The page stopped writing.");
    return answer.value;
  };
}

serve<SetExportRequests>(self as unknown as DedicatedWorkerGlobalScope, {
  async write({ port, plan, options }, onPart) {
    const ask = asking(port);
    const to = new WritableStream<Uint8Array>({
      async write(chunk) {
        // The chunk may be part of a larger buffer: only itself goes over.
        const own = new Uint8Array(chunk);
        await ask({ ask: "write", chunk: own }, [own.buffer]);
      },
    });
    const sink = setSink(to);
    const { breaks, photographs, annotations, originals, missing, crops } = await writeSet(
      {
        breakOf: async (id) => (await ask({ ask: "break", id })) as SourceBreak,
        async original(hash) {
          const blob = (await ask({ ask: "original", hash })) as Blob | null;
          if (blob === null) return null;
          try {
            const bytes = new Uint8Array(await blob.arrayBuffer());
            return (await sha256Hex(bytes)) === hash ? bytes : null;
          } catch {
            return null; // The browser can no longer read what it stored; the report names it.
          }
        },
        redraw: redrawn,
        crop: cropped,
      },
      sink,
      plan,
      options,
      { onProgress: (done, total) => onPart(done / total) },
    );
    await sink.close();
    return { output: { breaks, photographs, annotations, originals, missing, crops } };
  },
});
