/// <reference lib="webworker" />
import { MEDIA_TYPE } from "../../model/picture/header.ts";
import { PictureError } from "../../model/picture/picture-error.ts";
import { uprightSize } from "../../model/picture/upright.ts";
import { halves, losslessOf, shrink, thumbnailOf } from "./copies.ts";
import { decodeUpright, open, shownByBrowsers } from "./decode.ts";
import type {
  Copies,
  DecodedPicture,
  Inspection,
  InputOf,
  OutputOf,
  ReplyMessage,
  RequestMessage,
} from "./protocol.ts";
import type { RequestName } from "./protocol.ts";

const scope = self as unknown as DedicatedWorkerGlobalScope;

async function inspect(blob: Blob): Promise<Inspection> {
  const opened = await open(blob, "whole");
  const { header, camera } = opened;
  const digest = await crypto.subtle.digest("SHA-256", await blob.arrayBuffer());
  return {
    hash: [...new Uint8Array(digest)].map((byte) => byte.toString(16).padStart(2, "0")).join(""),
    byteLength: blob.size,
    mediaType: MEDIA_TYPE[header.kind],
    ...uprightSize(header.widthPx, header.heightPx, camera.orientation),
    orientation: camera.orientation,
    capturedAt: camera.capturedAt,
    camera: [camera.make, camera.model].filter((part) => part !== null).join(" ") || null,
    hint: camera.hint,
    pages: header.pages,
    notes: header.notes,
  };
}

async function copies(blob: Blob): Promise<Copies> {
  const opened = await open(blob, "whole");
  const bitmap = await decodeUpright(opened, "whole");
  try {
    return {
      thumbnail: await thumbnailOf(bitmap),
      working: shownByBrowsers(opened) ? null : await losslessOf(bitmap),
    };
  } finally {
    bitmap.close();
  }
}

async function working(blob: Blob): Promise<Blob | null> {
  const opened = await open(blob, "whole");
  if (shownByBrowsers(opened)) return null;
  const bitmap = await decodeUpright(opened, "whole");
  try {
    return await losslessOf(bitmap);
  } finally {
    bitmap.close();
  }
}

async function small(blob: Blob): Promise<Blob> {
  const bitmap = await decodeUpright(await open(blob, "limits"), "limits");
  try {
    return await thumbnailOf(bitmap);
  } finally {
    bitmap.close();
  }
}

async function decoded(blob: Blob, maxPx: number | null): Promise<DecodedPicture> {
  const full = await decodeUpright(await open(blob, "limits"), "limits");
  const size = { fullWidthPx: full.width, fullHeightPx: full.height };
  const bitmap = maxPx === null ? full : await shrink(full, maxPx);
  if (bitmap !== full) full.close();
  return { bitmap, levels: halves(bitmap), ...size };
}

const HANDLE: { readonly [N in RequestName]: (input: InputOf<N>) => Promise<OutputOf<N>> } = {
  inspect: ({ blob }) => inspect(blob),
  small: ({ blob }) => small(blob),
  working: ({ blob }) => working(blob),
  copies: ({ blob }) => copies(blob),
  bitmap: ({ blob, maxPx }) => decoded(blob, maxPx),
};

function handle<N extends RequestName>(name: N, input: InputOf<N>): Promise<OutputOf<N>> {
  return HANDLE[name](input);
}

function transferable(output: OutputOf<RequestName>): Transferable[] {
  return output !== null && "bitmap" in output ? [output.bitmap, ...output.levels] : [];
}

async function answer({ id, name, input }: RequestMessage): Promise<void> {
  let reply: ReplyMessage;
  try {
    reply = { id, ok: true, output: await handle(name, input) };
  } catch (error) {
    const refusal = error instanceof PictureError ? error : unforeseen(error);
    reply = { id, ok: false, error: refusal.plain() };
  }
  scope.postMessage(reply, reply.ok ? transferable(reply.output) : []);
}

/** Whatever else goes wrong here must still settle the request, in words. */
function unforeseen(error: unknown): PictureError {
  const name = error instanceof Error ? error.name : "";
  if (name === "NotReadableError" || name === "NotFoundError") {
    return new PictureError(
      "decoder-failed",
      "The file cannot be read: it was changed or moved, or its card was taken out.",
      "Put the card back or find the file again, and add it once more.",
    );
  }
  return new PictureError("decoder-failed", `Reading this photograph failed (${String(error)}).`);
}

scope.onmessage = (event: MessageEvent<RequestMessage>) => {
  void answer(event.data);
};
