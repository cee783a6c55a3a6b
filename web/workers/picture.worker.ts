/// <reference lib="webworker" />
import { MEDIA_TYPE } from "../../model/picture/header.ts";
import { valuesIn } from "../../model/picture/deep-raster.ts";
import type { ShownAs } from "../../model/picture/shown-as.ts";
import { surveyTone, type ToneSurvey } from "../../model/picture/tone-survey.ts";
import { uprightSize } from "../../model/picture/upright.ts";
import { halves, losslessOf, shrink, thumbnailOf } from "./copies.ts";
import { decodeFile, decodeToned, decodeUpright, deepUpright, open, shownByBrowsers, shownByChoice } from "./decode.ts";
import type {
  Copies,
  DecodedPicture,
  DeepValues,
  Inspection,
  PictureRequests,
  Region,
  RequestName,
} from "./protocol.ts";
import { serve } from "./serve.ts";

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

const plain = async <T>(output: Promise<T>): Promise<{ readonly output: T }> => ({ output: await output });

serve<{ [N in RequestName]: PictureRequests[N] }>(self as unknown as DedicatedWorkerGlobalScope, {
  inspect: ({ blob, page }) => plain(inspect(blob, page)),
  small: ({ blob, shown }) => plain(small(blob, shown)),
  working: ({ blob }) => plain(working(blob)),
  copies: ({ blob, shown }) => plain(copies(blob, shown)),
  async bitmap({ blob, maxPx, shown }) {
    const output = await decoded(blob, maxPx, shown);
    return { output, transfer: [output.bitmap, ...output.levels] };
  },
  async deepValues({ blob, page, region }) {
    const output = await deepValues(blob, page, region);
    return { output, transfer: output === null ? [] : [output.values.buffer] };
  },
  survey: ({ blob, page }) => plain(survey(blob, page)),
});
