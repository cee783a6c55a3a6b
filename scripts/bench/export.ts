import { createHash, randomFillSync } from "node:crypto";
import { createWriteStream, mkdtempSync, rmSync, statSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { Writable } from "node:stream";
import { setFlagsFromString } from "node:v8";
import { runInNewContext } from "node:vm";
import { Uint8ArrayReader, ZipWriter } from "@zip.js/zip.js/index-native.js";
import { newBreak } from "../../model/break/new-break.ts";
import type { Photograph, WireBreak } from "../../model/break/wire-break.ts";
import type { SetOptions } from "../../model/reference/export/set-options.ts";
import { type SetSource, writeSet } from "../../model/reference/export/write-set.ts";
import { setBreakOf, type SetBreak } from "../../model/reference/member.ts";
import { assignSplits, DEFAULT_PLAN } from "../../model/reference/splits.ts";
import { zipSink } from "../reference-set/zip-sink.ts";
import type { Row } from "./model.ts";

const AT = "2026-01-01T08:00:00Z";
const KIB = 1024;
/** Photographs of the part that watches memory, and after how many it is looked at first. */
const MANY = 10_000;
const SETTLED = 1_000;
/** Bytes of a photograph there: small, so that the part takes seconds. */
const SMALL = 24 * KIB;
/**
 * How much memory may grow from then on, MiB: lines of the tables and of the list at the end of the zip are kept, pixels
 * are not; kept pixels would be 211 MiB (our own choice, no source).
 */
const MOST_HEAP = 64;
const MOST_RSS = 160;

/** Number of a photograph in the first bytes of its noise: every one is another file. */
function jpegOf(size: number): (i: number) => Uint8Array<ArrayBuffer> {
  const bytes = new Uint8Array(size);
  randomFillSync(bytes);
  // A byte of 0xff would be read as a marker.
  bytes.forEach((value, at) => value === 0xff && (bytes[at] = 0x7f));
  const head = [0xff, 0xd8, 0xff, 0xe0, 0, 16, 0x4a, 0x46, 0x49, 0x46, 0, 1, 1, 0, 0, 1, 0, 1, 0, 0];
  const frame = [0xff, 0xc0, 0, 17, 8, 0x06, 0, 0x09, 0, 3, 1, 0x11, 0, 2, 0x11, 1, 3, 0x11, 1];
  const scan = [0xff, 0xda, 0, 12, 3, 1, 0, 2, 0x11, 3, 0x11, 0, 63, 0];
  const noise = head.length + frame.length + scan.length;
  bytes.set([...head, ...frame, ...scan]);
  bytes.set([0xff, 0xd9], size - 2);
  return (i) => {
    const one = bytes.slice();
    for (let k = 0; k < 4; k++) one[noise + k] = (i >> (7 * k)) & 0x7f;
    return one;
  };
}

const sha256 = (bytes: Uint8Array): string => createHash("sha256").update(bytes).digest("hex");

/** Breaks of four photographs each, two an end, with the bytes made when asked for: nothing is held. */
function madeBench(photographs: number, size: number) {
  const jpeg = jpegOf(size);
  const numberOf = new Map<string, number>();
  const breakOf = (n: number): WireBreak => {
    const photograph = (i: number): Photograph => {
      // Stands in for the check of every original against its hash.
      const hash = sha256(jpeg(i));
      numberOf.set(hash, i);
      return {
        id: `p${i}`,
        hash,
        fileName: `made-${i}.jpg`,
        mediaType: "image/jpeg",
        byteLength: size,
        widthPx: 2304,
        heightPx: 1536,
        orientation: 1,
        capturedAt: null,
        view: i % 2 === 0 ? "end_on" : "side_0",
        turnDeg: 0,
        scale: null,
        axisDeg: null,
        rendered: true,
      };
    };
    const base = newBreak(`made-${n}`, `M-${n}`, AT);
    const end = (from: number) => ({
      recovery: "recovered" as const,
      photographs: [photograph(from), photograph(from + 1)],
    });
    return {
      ...base,
      ends: { machine: { ...base.ends.machine, ...end(4 * n) }, takeUp: { ...base.ends.takeUp, ...end(4 * n + 2) } },
      confirmations: [
        {
          kind: "confirmed",
          id: `c${n}`,
          type: n % 2 === 0 ? "central_burst" : "torsion",
          means: ["both-ends-microscope"],
          reason: "made for measuring",
          by: "bench",
          at: AT,
          suggestion: null as never,
          revision: 0,
        },
      ],
    };
  };
  const members = Array.from({ length: photographs / 4 }, (_, n) => setBreakOf(breakOf(n))!);
  const source: SetSource = {
    breakOf(id) {
      const record = breakOf(Number(id.slice("made-".length)));
      return Promise.resolve({ record, log: [], file: { record } });
    },
    original: (hash) => Promise.resolve(jpeg(numberOf.get(hash)!)),
    redraw: () => Promise.resolve(null),
  };
  return { members, source, jpeg };
}

const OPTIONS: SetOptions = {
  name: "made",
  version: "1.0.0",
  date: AT.slice(0, 10),
  description: "Made bytes.",
  creator: "bench",
  url: "https://example.org/",
  licence: "CC0-1.0",
  peopleSeed: "bench",
  metadata: "position",
  withRecords: false,
  plan: DEFAULT_PLAN,
  app: "Endpair bench",
};
const planOf = (members: readonly SetBreak[]) => ({ members, splits: assignSplits(members, DEFAULT_PLAN).of });

/** The floor: the same files stored in a zip and nothing else done to them. */
async function plainZip(path: string, count: number, jpeg: (i: number) => Uint8Array<ArrayBuffer>): Promise<void> {
  const zip = new ZipWriter(Writable.toWeb(createWriteStream(path)) as WritableStream<Uint8Array>, {
    useWebWorkers: false,
    zip64: true,
    keepOrder: true,
  });
  for (let i = 0; i < count; i++) await zip.add(`images/${i}.jpg`, new Uint8ArrayReader(jpeg(i)), { level: 0 });
  await zip.close();
}

async function seconds(work: () => Promise<void>): Promise<number> {
  const start = performance.now();
  await work();
  return (performance.now() - start) / 1000;
}

setFlagsFromString("--expose-gc");
const clearWaste = runInNewContext("gc") as () => void;

/** Megabytes in use, after the waste was cleared away. */
function memory(): { readonly heap: number; readonly rss: number } {
  // Once leaves buffers whose owners went in the same sweep.
  for (let i = 0; i < 4; i++) clearWaste();
  const { heapUsed, arrayBuffers, rss } = process.memoryUsage();
  return { heap: (heapUsed + arrayBuffers) / KIB ** 2, rss: rss / KIB ** 2 };
}

/** Writing a reference set: its speed beside a bare zip of the same files, and whether memory stays flat. */
export async function benchExport(): Promise<Row[]> {
  const folder = mkdtempSync(join(tmpdir(), "endpair-export-"));
  try {
    const count = 120;
    const { members, source, jpeg } = madeBench(count, 1024 * KIB);
    const set = join(folder, "set.zip");
    const times: number[] = [];
    const floors: number[] = [];
    for (let round = 0; round < 5; round++) {
      floors.push(await seconds(() => plainZip(join(folder, "plain.zip"), count, jpeg)));
      times.push(
        await seconds(async () => {
          const sink = zipSink(set);
          await writeSet(source, sink, planOf(members), OPTIONS);
          await sink.close();
        }),
      );
    }
    // The quickest of each: whatever else the machine does only ever adds.
    const [time, floor] = [Math.min(...times), Math.min(...floors)];
    const megabytes = statSync(set).size / KIB ** 2;
    return [
      {
        what: "writing a reference set of 1 MiB photographs",
        figure: `${(time / floor).toFixed(2)} ×`,
        aim: "≤ 1.3 ×",
        met: time / floor <= 1.3,
        beside: `${(megabytes / time).toFixed(0)} MiB/s with hashes, tables and description, beside ${(megabytes / floor).toFixed(0)} MiB/s of a bare stored zip`,
      },
      await flatMemory(join(folder, "many.zip")),
    ];
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

async function flatMemory(path: string): Promise<Row> {
  const { members, source } = madeBench(MANY, SMALL);
  const sink = zipSink(path);
  const seen: ReturnType<typeof memory>[] = [];
  const took = await seconds(async () => {
    await writeSet(source, sink, planOf(members), OPTIONS, {
      onProgress(done) {
        if (done === SETTLED || done === MANY) seen.push(memory());
      },
    });
    await sink.close();
  });
  const [from, to] = [seen[0]!, seen[1]!];
  const [heap, rss] = [to.heap - from.heap, to.rss - from.rss];
  return {
    what: `memory from ${SETTLED} to ${MANY} photographs written`,
    figure: `+${Math.max(0, heap).toFixed(0)} MiB`,
    aim: `≤ ${MOST_HEAP} MiB`,
    met: heap <= MOST_HEAP && rss <= MOST_RSS,
    beside: `heap and buffers; the whole process +${rss.toFixed(0)} MiB (bound ${MOST_RSS}); ${((MANY * SMALL) / KIB ** 2).toFixed(0)} MiB written in ${took.toFixed(0)} s`,
  };
}
