import type { ConfirmationLevel } from "../../model/reference/levels.ts";
import { canonicalJson, sha256OfText } from "../storage/canonical.ts";
import type { BenchStore, BreakSummary, LongWork } from "../storage/contract.ts";
import { memberRow, type MemberRow } from "./member-row.ts";
import type { SetCache } from "./set-cache.ts";

/** Records read before what was worked out is written down: a cancelled reading goes on from there. */
const KEEP_EVERY = 100;

/**
 * Every confirmed break that is not in the bin, in the order of the log. Records that did not change since the last
 * visit are not read again, unless the ladder of confirmation did.
 *
 * @throws StoreError; DOMException AbortError when cancelled.
 */
export async function loadMembers(
  store: Pick<BenchStore, "load">,
  summaries: readonly BreakSummary[],
  levels: readonly ConfirmationLevel[],
  cache: SetCache,
  { signal, onProgress }: LongWork = {},
): Promise<readonly MemberRow[]> {
  const wanted = summaries.filter((s) => s.confirmed !== null && !s.binned);
  const kept = await cache.members();
  const ladder = await sha256OfText(canonicalJson(levels));
  const rows: MemberRow[] = [];
  let fresh: Parameters<SetCache["keepMembers"]>[0][number][] = [];
  for (const [i, { id, revision, updatedAt }] of wanted.entries()) {
    const known = kept.get(id);
    if (
      known !== undefined &&
      known.revision === revision &&
      known.updatedAt === updatedAt &&
      known.ladder === ladder
    ) {
      rows.push(known.row);
      continue;
    }
    signal?.throwIfAborted();
    onProgress?.({ done: i, total: wanted.length, what: "breaks" });
    const stored = await store.load(id);
    const row = stored === null ? null : memberRow(stored.record, levels);
    if (stored === null || row === null) continue;
    rows.push(row);
    fresh.push([id, { row, revision: stored.record.revision, updatedAt: stored.record.updatedAt, ladder }]);
    if (fresh.length >= KEEP_EVERY) {
      await cache.keepMembers(fresh);
      fresh = [];
    }
  }
  if (fresh.length > 0) await cache.keepMembers(fresh);
  return rows;
}
