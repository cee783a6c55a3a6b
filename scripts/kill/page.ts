import type { Edit } from "../../model/break/edits.ts";
import { applyEdit } from "../../model/break/edits.ts";
import { newBreak } from "../../model/break/new-break.ts";
import type { EndSide, WireBreak } from "../../model/break/wire-break.ts";
import { canonicalJson, sha256Hex, sha256OfText } from "../../web/storage/canonical.ts";
import type { BenchStore, NewOriginal } from "../../web/storage/contract.ts";
import { openBench } from "../../web/storage/open-bench.ts";
import { summarise } from "../../web/storage/summary.ts";
import type { Acknowledged, KillPage, Verified } from "./protocol.ts";
import { seeded } from "./random.ts";

const now = (): string => new Date().toISOString();
const hashOf = (value: unknown): Promise<string> => sha256OfText(canonicalJson(value));
let opened: BenchStore | null = null;

function bench(): BenchStore {
  if (!opened) throw new Error("The bench is not open.");
  return opened;
}

/** Bytes as incompressible as a photograph, 200 kB to 2 MB. */
async function someOriginal(random: () => number, fileName: string): Promise<NewOriginal> {
  const bytes = new Uint8Array(200_000 + Math.floor(random() * 1_800_000));
  for (let at = 0; at < bytes.length; at += 65_536) crypto.getRandomValues(bytes.subarray(at, at + 65_536));
  bytes.set([0xff, 0xd8, 0xff, 0xe0]);
  const mediaType = "image/jpeg";
  return {
    hash: await sha256Hex(bytes),
    original: new Blob([bytes], { type: mediaType }),
    fileName,
    mediaType,
    thumbnail: new Blob([bytes.slice(0, 8_000)], { type: mediaType }),
    working: null,
  };
}

function filed(original: NewOriginal, side: EndSide, index: number): Edit {
  return {
    kind: "add-photograph",
    side,
    index,
    photograph: {
      id: crypto.randomUUID(),
      hash: original.hash,
      fileName: original.fileName,
      mediaType: original.mediaType,
      byteLength: original.original.size,
      widthPx: 6000,
      heightPx: 4000,
      orientation: 1,
      capturedAt: null,
      view: "end_on",
      turnDeg: 0,
      scale: null,
      axisDeg: null,
      rendered: false,
    },
  };
}

function marked(wireBreak: WireBreak, side: EndSide, random: () => number): Edit {
  const { marks, photographs } = wireBreak.ends[side];
  const px = (): number => Math.round(random() * 4_000_0) / 10;
  return {
    kind: "add-mark",
    side,
    index: marks.length,
    mark: {
      id: crypto.randomUUID(),
      feature: "end_hole",
      state: "present",
      photographId: photographs[0]?.id ?? null,
      geometry: photographs[0]
        ? {
            type: "polygon",
            points: Array.from({ length: 3 + Math.floor(random() * 60) }, () => [px(), px()] as const),
          }
        : null,
      given: { hole_d_over_D: random() },
      note: "",
      by: "A. Reader",
      at: now(),
    },
  };
}

/** The next thing a reader might do to this break. */
async function nextEdit(wireBreak: WireBreak, random: () => number): Promise<{ edit: Edit; original?: NewOriginal }> {
  const side: EndSide = random() < 0.5 ? "machine" : "takeUp";
  const { marks, photographs } = wireBreak.ends[side];
  const chance = random();
  if (chance < 0.2 || photographs.length === 0) {
    const original = await someOriginal(random, `${wireBreak.number}-${photographs.length}.jpg`);
    return { edit: filed(original, side, photographs.length), original };
  }
  const mark = marks[Math.floor(random() * marks.length)];
  if (chance < 0.3 && mark) return { edit: { kind: "set-mark", markId: mark.id, patch: { note: `seen ${chance}` } } };
  if (chance < 0.35 && mark) return { edit: { kind: "remove-mark", markId: mark.id } };
  return { edit: marked(wireBreak, side, random) };
}

async function save(wireBreak: WireBreak, edit: Edit, original: NewOriginal | undefined): Promise<WireBreak> {
  const at = now();
  const { next, inverse } = applyEdit(wireBreak, edit, at);
  const [entry] = await bench().commit({
    entries: [
      { breakId: next.id, revision: next.revision, edit, inverse, origin: "reader", of: null, by: "A. Reader", at },
    ],
    records: [{ record: next, summary: summarise(next, "undetermined") }],
    originals: original ? [original] : [],
  });
  if (!entry) throw new Error("A commit with one line gave none back.");
  const acknowledged: Acknowledged = {
    seq: entry.seq,
    breakId: next.id,
    revision: next.revision,
    entryHash: await hashOf(entry),
    recordHash: await hashOf(next),
    original: original?.hash ?? null,
  };
  console.log(`ACK ${JSON.stringify(acknowledged)}`);
  return next;
}

/** Follows the log from an empty break; the hash of line and record per number, or the reason it leads elsewhere. */
async function replay(breakId: string): Promise<Map<number, { entryHash: string; recordHash: string }> | string> {
  const loaded = await bench().load(breakId);
  if (!loaded) return `${breakId} is not there`;
  const steps = new Map<number, { entryHash: string; recordHash: string }>();
  let record = newBreak(breakId, loaded.record.number, loaded.record.createdAt);
  for (const entry of loaded.log) {
    const { next, inverse } = applyEdit(record, entry.edit, entry.at);
    if (next.revision !== entry.revision || canonicalJson(inverse) !== canonicalJson(entry.inverse))
      return `${breakId}: line ${entry.seq} does not follow`;
    record = next;
    steps.set(entry.seq, { entryHash: await hashOf(entry), recordHash: await hashOf(record) });
  }
  return canonicalJson(record) === canonicalJson(loaded.record) ? steps : `${breakId}: the log leads to another record`;
}

async function originalIsWhole(hash: string): Promise<boolean> {
  const blob = await bench().original(hash);
  return blob !== null && (await sha256Hex(await blob.arrayBuffer())) === hash;
}

const page: KillPage = {
  async open() {
    opened = await openBench({ now, name: "hammer" });
    if (opened.mode !== "writer") throw new Error("The killed tab still holds the right to write.");
    if (!opened.safe) throw new Error("The bench was opened without its safe.");
    return opened.recovered;
  },

  async work(seed) {
    const random = seeded(seed);
    const listed = await bench().summaries();
    const open: WireBreak[] = [];
    for (let i = 0; i < 2 && listed.length > 0; i++) {
      const chosen = await bench().load(listed[Math.floor(random() * listed.length)]?.id ?? "");
      const known = chosen && open.some(({ id }) => id === chosen.record.id);
      if (chosen && !known && chosen.record.ends.machine.marks.length < 200) open.push(chosen.record);
    }
    open.push(newBreak(crypto.randomUUID(), `H-${listed.length + 1}`, now()));
    for (;;) {
      const at = Math.floor(random() * open.length);
      const wireBreak = open[at];
      if (!wireBreak) throw new Error("There is always a break.");
      const { edit, original } = await nextEdit(wireBreak, random);
      open[at] = await save(wireBreak, edit, original);
    }
  },

  async verify(acknowledged, everything) {
    const lost: string[] = [];
    const damaged: string[] = [];
    const listed = await bench().summaries();
    const touched = new Set(acknowledged.map(({ breakId }) => breakId));
    const ids = everything ? new Set([...listed.map(({ id }) => id), ...touched]) : touched;
    const originals = new Set(acknowledged.flatMap(({ original }) => (original === null ? [] : [original])));
    let entries = 0;
    const steps = new Map<number, { entryHash: string; recordHash: string }>();
    for (const id of ids) {
      const found = await replay(id);
      if (typeof found === "string") damaged.push(found);
      else for (const [seq, step] of found) steps.set(seq, step);
      if (!everything) continue;
      const loaded = await bench().load(id);
      for (const end of [loaded?.record.ends.machine, loaded?.record.ends.takeUp])
        for (const { hash } of end?.photographs ?? []) originals.add(hash);
    }
    entries = steps.size;
    for (const { seq, entryHash, recordHash } of acknowledged) {
      const step = steps.get(seq);
      if (step?.entryHash !== entryHash || step.recordHash !== recordHash) lost.push(`line ${seq}, ${entryHash}`);
    }
    for (const hash of originals) if (!(await originalIsWhole(hash))) lost.push(`photograph ${hash}`);
    const verified: Verified = { lost, damaged, breaks: listed.length, entries, originals: originals.size };
    return verified;
  },
};

Object.assign(window, { killPage: page });
