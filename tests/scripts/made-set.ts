import { createHash } from "node:crypto";
import { fileURLToPath } from "node:url";
import { PATHS } from "../../model/reference/export/set-names.ts";
import type { SetOptions } from "../../model/reference/export/set-options.ts";
import { manifestText, type SetReport, type SetSink, writeSet } from "../../model/reference/export/write-set.ts";
import { setBreakOf, type SetBreak, type Split } from "../../model/reference/member.ts";
import { DEFAULT_PLAN } from "../../model/reference/splits.ts";
import { breakFile } from "../../web/storage/bench-file-format.ts";
import { redrawn } from "../../scripts/reference-set/bench-source.ts";
import { cropNode } from "../../scripts/reference-set/crop-node.ts";
import { demoBreaks, type MadeBreak } from "../../scripts/reference-set/demo-bench.ts";

export type Files = Map<string, Uint8Array<ArrayBuffer>>;

export const OPTIONS: SetOptions = {
  name: "demo-breaks",
  version: "1.0.0",
  date: "2026-03-31",
  description: "Invented breaks of the demo mill.",
  creator: "Hollowmoor Wire (invented)",
  url: "https://example.org/breaks",
  licence: "CC-BY-4.0",
  peopleSeed: "seed",
  metadata: "position",
  withRecords: true,
  plan: DEFAULT_PLAN,
  app: "Endpair test",
};

export const sha256 = (bytes: Uint8Array): string => createHash("sha256").update(bytes).digest("hex");
export const utf8 = (text: string): Uint8Array<ArrayBuffer> => new TextEncoder().encode(text);
export const textOf = (files: Files, path: string): string => new TextDecoder().decode(files.get(path));

/** Breaks of the demo mill, read once. */
let demo: Promise<readonly MadeBreak[]> | null = null;
export const demoMill = (): Promise<readonly MadeBreak[]> =>
  (demo ??= demoBreaks(fileURLToPath(new URL("../../samples/", import.meta.url))));

/** A set in memory. Parts go round: train, val, test. */
export async function madeSet(
  breaks: readonly MadeBreak[],
  over: Partial<SetOptions> = {},
): Promise<{ readonly files: Files; readonly report: SetReport }> {
  const files: Files = new Map();
  const put = (path: string, bytes: Uint8Array<ArrayBuffer>): Promise<string> => {
    if (files.has(path)) throw new Error(`${path} is written twice.`);
    files.set(path, bytes);
    return Promise.resolve(sha256(bytes));
  };
  const sink: SetSink = { addPicture: put, addText: (path, text) => put(path, utf8(text)) };
  const byId = new Map(breaks.map((one) => [one.record.id, one]));
  const originals = new Map(breaks.flatMap((one) => [...one.originals]));
  const members = breaks.map(({ record }) => setBreakOf(record)).filter((m): m is SetBreak => m !== null);
  const splits = new Map(members.map((m, i) => [m.id, (["train", "val", "test"] as const)[i % 3]!] as [string, Split]));
  const report = await writeSet(
    {
      breakOf(id) {
        const { record, log, suggested } = byId.get(id)!;
        return Promise.resolve({ record, log, file: breakFile(record, log, suggested) });
      },
      original: (hash) => Promise.resolve(originals.get(hash) ?? null),
      redraw: (bytes, { orientation, page }, mediaType) => redrawn(bytes, orientation, page ?? 0, mediaType),
      crop: cropNode,
    },
    sink,
    { members, splits },
    { ...OPTIONS, ...over },
  );
  return { files, report };
}

/** Hashes made right again after a change, so that only the planted fault is found. */
export function resealed(files: Files): Files {
  const hashes = new Map<string, string>();
  for (const [path, bytes] of files)
    if (path !== PATHS.manifest && path !== PATHS.croissant) hashes.set(path, sha256(bytes));
  files.set(PATHS.manifest, utf8(manifestText(hashes)));
  const croissant = JSON.parse(textOf(files, PATHS.croissant)) as {
    distribution: { contentUrl?: string; sha256?: string }[];
  };
  hashes.set(PATHS.manifest, sha256(files.get(PATHS.manifest)!));
  for (const file of croissant.distribution)
    if (file.contentUrl !== undefined && hashes.has(file.contentUrl)) file.sha256 = hashes.get(file.contentUrl)!;
  files.set(PATHS.croissant, utf8(JSON.stringify(croissant)));
  return files;
}
