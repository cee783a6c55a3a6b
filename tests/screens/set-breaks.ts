import type { BreakTypeId } from "../../model/evidence/break-type-ids.ts";
import type { Photograph, WireBreak } from "../../model/break/wire-break.ts";
import { suggest } from "../../model/evidence/suggest.ts";
import { observe } from "../../model/measure/observe.ts";
import type { BenchStore, NewOriginal } from "../../web/storage/contract.ts";
import { sha256Hex } from "../../web/storage/canonical.ts";
import { summarise } from "../../web/storage/summary.ts";
import { labBreaks } from "./lab-breaks.ts";
import { AT } from "./log-breaks.ts";

/** A small photograph as files are: pattern by number, so that two numbers never look alike. */
export async function madePhotograph(
  seed: number,
  { width = 96, height = 72, type = "image/jpeg", quality = 0.9 } = {},
): Promise<Uint8Array<ArrayBuffer>> {
  const canvas = new OffscreenCanvas(width, height);
  const context = canvas.getContext("2d")!;
  let state = (seed + 1) * 2654435761;
  const next = () => (state = (Math.imul(state, 1664525) + 1013904223) >>> 0) / 2 ** 32;
  for (let y = 0; y < 9; y++)
    for (let x = 0; x < 12; x++) {
      const grey = Math.round(255 * next());
      context.fillStyle = `rgb(${grey} ${grey} ${grey})`;
      context.fillRect((x * width) / 12, (y * height) / 9, width / 12 + 1, height / 9 + 1);
    }
  const blob = await canvas.convertToBlob({ type, quality });
  return new Uint8Array(await blob.arrayBuffer());
}

export interface SetBreakMade {
  readonly type: BreakTypeId;
  readonly cast?: string;
  /** Seeds of the photographs of machine end and take-up end. */
  readonly pictures?: readonly [number, number];
  /** How well the pictures are packed, 0–1: the same seed packed otherwise is another file of the same look. */
  readonly quality?: number;
}

/** Confirmed breaks with small photographs on both ends, S-1, S-2, …; every photograph differs unless seeds repeat. */
export async function fileSetBreaks(store: BenchStore, made: readonly SetBreakMade[], first = 1): Promise<void> {
  const originals: NewOriginal[] = [];
  const records: WireBreak[] = [];
  for (const [i, { type, cast, pictures = [2 * (first + i), 2 * (first + i) + 1], quality = 0.9 }] of made.entries()) {
    const number = `S-${first + i}`;
    const { record } = labBreaks([type], 1, 100 + first + i)[0]!;
    const photographs: Photograph[] = [];
    for (const [j, seed] of pictures.entries()) {
      const bytes = await madePhotograph(seed, { quality });
      const hash = await sha256Hex(bytes);
      const fileName = `${number}-${j}.jpg`;
      const blob = new Blob([bytes], { type: "image/jpeg" });
      originals.push({ hash, original: blob, fileName, mediaType: "image/jpeg", thumbnail: blob, working: null });
      photographs.push({
        id: `${number}-p${j}`,
        hash,
        fileName,
        mediaType: "image/jpeg",
        byteLength: bytes.length,
        widthPx: 96,
        heightPx: 72,
        orientation: 1,
        capturedAt: null,
        view: "end_on",
        turnDeg: 0,
        scale: null,
        axisDeg: null,
        rendered: false,
      });
    }
    const { machine, takeUp } = record.ends;
    const whole: WireBreak = {
      ...record,
      id: number.toLowerCase(),
      number,
      context: { ...record.context, cast: cast ?? null },
      ends: {
        machine: { ...machine, photographs: [photographs[0]!] },
        takeUp: { ...takeUp, photographs: [photographs[1]!] },
      },
    };
    records.push({
      ...whole,
      confirmations: [
        {
          kind: "confirmed",
          id: `c-${number}`,
          type,
          means: ["both-ends-microscope"],
          reason: "seen on both ends",
          by: "A. Reader",
          at: AT,
          suggestion: suggest(observe(whole)),
          revision: whole.revision,
        },
      ],
    });
  }
  await store.commit({
    entries: [],
    records: records.map((record) => ({ record, summary: summarise(record, suggest(observe(record)).verdict) })),
    originals,
  });
}
