/// <reference lib="webworker" />
import { MEDIA_TYPE } from "../../model/picture/header.ts";
import { PictureError } from "../../model/picture/picture-error.ts";
import { valuesIn } from "../../model/picture/deep-raster.ts";
import type { ShownAs } from "../../model/picture/shown-as.ts";
import { surveyTone, type ToneSurvey } from "../../model/picture/tone-survey.ts";
import { uprightSize } from "../../model/picture/upright.ts";
import { halves, losslessOf, shrink, thumbnailOf } from "./copies.ts";
import { decodeFile, decodeToned, decodeUpright, deepUpright, open, shownByBrowsers, shownByChoice } from "./decode.ts";
import type {
  DecodedPicture,
  DeepValues,
  Inspection,
  InputOf,
  Copies,
  OutputOf,
  Region,
  ReplyMessage,
  RequestMessage,
} from "./protocol.ts";
import type { RequestName } from "./protocol.ts";

const scope = self as unknown as DedicatedWorkerGlobalScope;

async function inspect(blob: Blob, page: number): Promise<Inspection> {
  const opened = await open(blob, "whole", page);
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
    deep: header.deep ?? null,
    notes: header.notes,
  };
}

async function copies(blob: Blob, shown: ShownAs): Promise<Copies> {
  const opened = await open(blob, "whole", shown.page ?? 0);
  const { bitmap, deepTone } = await decodeToned(opened, "whole", shown.deepTone);
  try {
    const working = shownByBrowsers(opened) || shownByChoice(opened) ? null : await losslessOf(bitmap);
    return { thumbnail: await thumbnailOf(bitmap), working, deepTone };
  } finally {
    bitmap.close();
  }
}

async function working(blob: Blob): Promise<Blob | null> {
  const opened = await open(blob, "whole");
  if (shownByBrowsers(opened) || shownByChoice(opened)) return null;
  const bitmap = await decodeUpright(opened, "whole");
  try {
    return await losslessOf(bitmap);
  } finally {
    bitmap.close();
  }
}

async function small(blob: Blob, shown: ShownAs): Promise<Blob> {
  const bitmap = await decodeFile(blob, "limits", shown);
  try {
    return await thumbnailOf(bitmap);
  } finally {
    bitmap.close();
  }
}

async function decoded(blob: Blob, maxPx: number | null, shown: ShownAs): Promise<DecodedPicture> {
  const full = await decodeFile(blob, "limits", shown);
  const size = { fullWidthPx: full.width, fullHeightPx: full.height };
  const bitmap = maxPx === null ? full : await shrink(full, maxPx);
  if (bitmap !== full) full.close();
  return { bitmap, levels: halves(bitmap), ...size };
}

async function deepValues(blob: Blob, page: number, region: Region | null): Promise<DeepValues | null> {
  const raster = await deepUpright(await open(blob, "limits", page));
  return raster && { sample: raster.sample, ...valuesIn(raster, region) };
}

async function survey(blob: Blob, page: number): Promise<ToneSurvey | null> {
  const raster = await deepUpright(await open(blob, "limits", page));
  return raster && surveyTone(raster);
}

const HANDLE: { readonly [N in RequestName]: (input: InputOf<N>) => Promise<OutputOf<N>> } = {
  inspect: ({ blob, page }) => inspect(blob, page),
  small: ({ blob, shown }) => small(blob, shown),
  working: ({ blob }) => working(blob),
  copies: ({ blob, shown }) => copies(blob, shown),
  bitmap: ({ blob, maxPx, shown }) => decoded(blob, maxPx, shown),
  deepValues: ({ blob, page, region }) => deepValues(blob, page, region),
  survey: ({ blob, page }) => survey(blob, page),
};

function handle<N extends RequestName>(name: N, input: InputOf<N>): Promise<OutputOf<N>> {
  return HANDLE[name](input);
}

function transferable(output: OutputOf<RequestName>): Transferable[] {
  if (output === null) return [];
  if ("bitmap" in output) return [output.bitmap, ...output.levels];
  return "values" in output ? [output.values.buffer] : [];
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
