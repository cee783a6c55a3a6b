import { linesByBreak, readFrame } from "./journal.ts";
import type { FramePlace } from "./frame.ts";
import type { Safe } from "./safe.ts";

/** Content of frames that is brought over at a time, bytes. */
export const SCAN_BYTES = 4 * 1024 * 1024;

/** What can be had back from the whole journal. */
export interface Inventory {
  /** Per break: the revision its frames lead to, and how many log lines lead there. */
  readonly breaks: ReadonlyMap<string, { readonly revision: number; readonly lines: number }>;
  /** Hashes of those whose bytes are there. */
  readonly originals: ReadonlySet<string>;
  /** Values by key; undefined when the last frame removed it. */
  readonly settings: ReadonlyMap<string, unknown>;
  /** Highest number of a log line. */
  readonly seq: number;
  readonly last: FramePlace | null;
}

/** Reads the journal from its first frame to its last; a half-written end is cut off. */
export async function takeInventory(safe: Safe): Promise<Inventory> {
  const breaks = new Map<string, { revision: number; lines: number }>();
  const originals = new Set<string>();
  const settings = new Map<string, unknown>();
  let seq = 0;
  let last: FramePlace | null = null;
  for (let from = 0; from < safe.sizes.journal;) {
    const { frames, next, tornAt } = await safe.scan(from, SCAN_BYTES);
    for (const { text, ...place } of frames) {
      last = place;
      const content = readFrame(text);
      if (content?.kind === "setting") settings.set(content.key, content.value);
      if (content?.kind !== "commit") continue;
      for (const { hash, volume, offset, length } of content.originals)
        if (offset + length <= (safe.sizes.volumes[volume] ?? 0)) originals.add(hash);
      const entries = linesByBreak(content.entries);
      for (const { id, record, all } of content.breaks) {
        const own = entries.get(id) ?? [];
        const known = breaks.get(id) ?? { revision: -1, lines: 0 };
        if (record !== undefined && record.revision >= known.revision) {
          const gap = known.revision >= 0 && own.length > 0 && known.revision < record.revision - own.length;
          const lines = all || gap ? own.length : known.lines + own.filter((e) => e.revision > known.revision).length;
          breaks.set(id, { revision: record.revision, lines });
        } else if (record === undefined)
          for (const { revision } of own)
            if (revision === known.revision + 1 && known.revision >= 0) {
              known.revision = revision;
              known.lines++;
            }
      }
      for (const entry of content.entries) seq = Math.max(seq, entry.seq);
    }
    if (tornAt !== null) await safe.cut({ ...safe.sizes, journal: tornAt });
    from = next;
  }
  return { breaks, originals, settings, seq, last };
}
