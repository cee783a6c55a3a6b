import type { Photograph } from "../../model/break/wire-break.ts";
import { parseObservationSheets } from "../../model/break/observation-sheet.ts";
import { sheetToBreak } from "../../model/break/observation-sheet-break.ts";
import { checkRoute } from "../../model/route/check-route.ts";
import type { App } from "../shell/app.svelte.ts";
import type { LongWork, NewOriginal } from "../storage/contract.ts";
import { createPictureClient, type PictureClient } from "../workers/client.ts";
import { readDemoIndex, type DemoRow } from "./demo-index.ts";
import { importedBreak } from "./import-record.ts";

/** What is fetched comes from the application's own origin; nothing else is ever asked. */
const samplesUrl = (): URL => new URL("samples/", document.baseURI);

export interface DemoReport {
  readonly added: number;
  /** Demo breaks that were on the bench already. */
  readonly here: number;
}

/**
 * Loads the demo mill, one break after the other: each is whole on the disk before the next begins, so cancelling
 * leaves whole breaks, and loading again goes on from there.
 *
 * @throws DemoError when a file of the demo mill is not beside the application; PictureError; StoreError;
 * DOMException AbortError when cancelled.
 */
export async function loadDemoMill(app: App, work: LongWork & { readonly signal: AbortSignal }): Promise<DemoReport> {
  const rows = await readDemoIndex(samplesUrl(), work.signal);
  const here = new Set(app.summaries.filter((s) => s.demo).map((s) => s.number));
  const wanted = rows.filter((row) => !here.has(row.number));
  const pictures = createPictureClient();
  try {
    for (const [i, row] of wanted.entries()) {
      work.onProgress?.({ done: i, total: wanted.length, what: "breaks" });
      await loadOne(app, row, pictures, work.signal);
    }
  } finally {
    pictures.close();
  }
  return { added: wanted.length, here: rows.length - wanted.length };
}

async function loadOne(
  app: App,
  { number, route: routed }: DemoRow,
  pictures: PictureClient,
  signal: AbortSignal,
): Promise<void> {
  const { newId, now } = app.surroundings;
  const folder = new URL(`${encodeURIComponent(number)}/`, samplesUrl());
  const [sheet] = parseObservationSheets(await (await fetched(new URL("sheet.json", folder), signal)).json());
  if (!sheet) return;
  const files = [...new Set(sheet.ends.flatMap((end) => end.photos.map((photo) => photo.file)))];
  const taken = await Promise.all(
    files.map(async (file): Promise<{ photograph: Photograph; original: NewOriginal }> => {
      const blob = await (await fetched(new URL(encodeURIComponent(file), folder), signal)).blob();
      const [inspection, copies] = await Promise.all([pictures.inspect(blob, signal), pictures.copies(blob, signal)]);
      const { hash, mediaType, byteLength, widthPx, heightPx, orientation, capturedAt } = inspection;
      return {
        original: { hash, original: blob, fileName: file, mediaType, ...copies },
        photograph: {
          id: newId(),
          hash,
          fileName: file,
          mediaType,
          byteLength,
          widthPx,
          heightPx,
          orientation,
          capturedAt,
          view: "other",
          turnDeg: 0,
          scale: null,
          axisDeg: null,
          rendered: true,
        },
      };
    }),
  );
  signal.throwIfAborted();
  const at = now();
  const photographs = new Map(taken.map(({ photograph }) => [photograph.fileName, photograph]));
  const wireBreak = sheetToBreak(sheet, { id: newId(), newId, at, by: "demo mill", photographs });
  const route = routed ? checkRoute(await (await fetched(new URL("route.json", folder), signal)).json()).route : null;
  const whole = { ...wireBreak, ...(route === null ? {} : { route }), demo: true };
  const { record, summary, entry } = importedBreak(whole, "demo mill", at);
  await app.bench.commit({
    entries: [entry],
    records: [{ record, summary }],
    originals: taken.map(({ original }) => original),
  });
  app.noteSummaries([summary]);
}

async function fetched(url: URL, signal: AbortSignal): Promise<Response> {
  const response = await fetch(url, { signal });
  if (!response.ok) throw new DemoError(url.pathname);
  return response;
}

/** A file of the demo mill that is not beside the application. */
export class DemoError extends Error {
  readonly code = "demo-file-missing";
  readonly next = "Serve the application with its samples folder, or bring photographs of your own in.";

  constructor(path: string) {
    super(`The demo mill is not complete: ${path} is missing.`);
    this.name = "DemoError";
  }
}
