import { applyEdit } from "../../model/break/edits.ts";
import type { Mark, Photograph, SecondReading, WireBreak } from "../../model/break/wire-break.ts";
import type { Verdict } from "../../model/evidence/break-type-ids.ts";
import type { BenchStore, NewOriginal } from "../../web/storage/contract.ts";
import { summarise } from "../../web/storage/summary.ts";
import { aBreak, AT, type Wanted } from "./log-breaks.ts";

/** A grey picture with a dark disc, as a PNG of its own bytes. */
async function pictureOf(seed: number): Promise<Blob> {
  const canvas = new OffscreenCanvas(240, 180);
  const pen = canvas.getContext("2d")!;
  pen.fillStyle = `rgb(${120 + (seed % 80)}, 130, 140)`;
  pen.fillRect(0, 0, 240, 180);
  pen.fillStyle = "#222";
  pen.beginPath();
  pen.arc(120 + (seed % 7), 90, 40, 0, 7);
  pen.fill();
  return canvas.convertToBlob({ type: "image/png" });
}

const hexOf = async (blob: Blob): Promise<string> =>
  [...new Uint8Array(await crypto.subtle.digest("SHA-256", await blob.arrayBuffer()))]
    .map((byte) => byte.toString(16).padStart(2, "0"))
    .join("");

export interface Photographed {
  readonly record: WireBreak;
  readonly originals: readonly NewOriginal[];
}

export const holeOf = (id: string, photographId: string, by: string, cx = 120, r = 40): Mark => ({
  id,
  feature: "end_hole",
  state: "present",
  photographId,
  geometry: { type: "ellipse", cx, cy: 90, rx: r, ry: r, angle_deg: 0 },
  given: {},
  note: "",
  by,
  at: AT,
});

let seed = 0;

/** A break with one end-on photograph of each end, marked and confirmed by a first reader. */
export async function photographed(number: string, wanted: Wanted = {}): Promise<Photographed> {
  const { record } = aBreak(number, wanted);
  const originals: NewOriginal[] = [];
  const end = async (side: "machine" | "takeUp") => {
    const original = await pictureOf(++seed);
    const hash = await hexOf(original);
    const fileName = `${number}-${wanted.confirmed ?? "open"}-${side}.png`;
    originals.push({ hash, original, fileName, mediaType: "image/png", thumbnail: original, working: null });
    const photograph: Photograph = {
      id: `${number}-${side}-p`,
      hash,
      fileName,
      mediaType: "image/png",
      byteLength: original.size,
      widthPx: 240,
      heightPx: 180,
      orientation: 1,
      capturedAt: null,
      view: "end_on",
      turnDeg: 0,
      scale: null,
      axisDeg: null,
      rendered: false,
    };
    return {
      ...record.ends[side],
      recovery: "recovered" as const,
      photographs: [photograph],
      marks: [{ ...holeOf(`${number}-${side}-m`, photograph.id, "A. Reader"), note: "dimpled floor" }],
    };
  };
  const ends = { machine: await end("machine"), takeUp: await end("takeUp") };
  return { record: { ...record, ends }, originals };
}

/** A second reading of such a break, as a reader would have left it. */
export function readBy(
  { record, originals }: Photographed,
  by: string,
  type: Verdict,
  more: Partial<SecondReading> = {},
) {
  const last = record.confirmations.at(-1);
  const reading: SecondReading = {
    id: `r-${record.number}-${by}`,
    type,
    marks: {
      machine: [holeOf(`r-${record.number}-${by}-m`, `${record.number}-machine-p`, by, 124, 38)],
      takeUp: [],
    },
    note: "",
    by,
    at: AT,
    beside: last?.kind === "confirmed" ? last.id : null,
    revision: record.revision,
    ...more,
  };
  const next = applyEdit(record, { kind: "add-reading", reading }, AT).next;
  return { record: { ...next, revision: record.revision }, originals };
}

export async function fileBreaks(store: BenchStore, breaks: readonly Photographed[]): Promise<void> {
  await store.commit({
    entries: [],
    records: breaks.map(({ record }) => ({ record, summary: summarise(record, "central_burst") })),
    originals: breaks.flatMap(({ originals }) => originals),
  });
}
