/// <reference lib="webworker" />
import { PictureError } from "../../model/picture/picture-error.ts";
import type { Reply, RequestTable } from "./worker-pool.ts";

export type Handlers<T extends RequestTable> = {
  readonly [N in keyof T & string]: (
    input: T[N]["input"],
    onPart: (part: number) => void,
  ) => Promise<{ readonly output: T[N]["output"]; readonly transfer?: readonly Transferable[] }>;
};

/**
 * The worker's side of a pool: one request in, any number of shares done, then exactly one result or error out.
 * What goes wrong in an unforeseen way still settles the request, in words.
 */
export function serve<T extends RequestTable>(scope: DedicatedWorkerGlobalScope, handlers: Handlers<T>): void {
  scope.onmessage = (event: MessageEvent<{ id: number; name: keyof T & string; input: T[keyof T]["input"] }>) => {
    const { id, name, input } = event.data;
    const reply = (message: Reply, transfer: readonly Transferable[] = []) => {
      scope.postMessage(message, [...transfer]);
    };
    handlers[name](input, (part) => {
      reply({ id, part });
    })
      .then(({ output, transfer }) => {
        reply({ id, ok: true, output }, transfer);
      })
      .catch((error: unknown) => {
        reply({ id, ok: false, error: (error instanceof PictureError ? error : unforeseen(error)).plain() });
      });
  };
}

function unforeseen(error: unknown): PictureError {
  const name = error instanceof Error ? error.name : "";
  if (name === "NotReadableError" || name === "NotFoundError")
    return new PictureError(
      "decoder-failed",
      "The file cannot be read: it was changed or moved, or its card was taken out.",
      "Put the card back or find the file again, and add it once more.",
    );
  return new PictureError("decoder-failed", `Reading this photograph failed (${String(error)}).`);
}
