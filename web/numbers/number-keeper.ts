import type { WireBreak } from "../../model/break/wire-break.ts";
import type { ViewNumbers } from "../../model/classifier/view-columns.ts";
import { numbersOfBreak, viewKey, viewsToDescribe, type ViewToDescribe } from "../../model/classifier/of-break.ts";
import type { Verdict } from "../../model/evidence/break-type-ids.ts";
import { PictureError } from "../../model/picture/picture-error.ts";
import { shownAs } from "../../model/picture/shown-as.ts";
import type { BenchStore, BreakSummary, LongWork } from "../storage/contract.ts";
import type { DescribeClient } from "../workers/describe-client.ts";
import { confirmedType } from "../../model/reference/levels.ts";
import type { KeptNumbers, NumberCache } from "./number-cache.ts";

/** A break of the bench in numbers. */
export interface NumberedBreak {
  readonly id: string;
  readonly number: string;
  readonly revision: number;
  /** True for the invented breaks of the demo mill. */
  readonly demo: boolean;
  /** One value per `COLUMN_NAMES`; NaN is missing. Shared: not to be written to. */
  readonly vector: Float32Array;
}
export interface ConfirmedBreak extends NumberedBreak {
  /** "undetermined" where a person confirmed that the type cannot be told. */
  readonly type: Verdict;
}

/** A view that could not be put in numbers; the break then counts without it. */
export interface ViewFault {
  readonly number: string;
  readonly fileName: string;
  readonly message: string;
}
export interface NumberWork extends LongWork {
  readonly onFault?: (fault: ViewFault) => void;
}

export interface KeeperParts {
  readonly store: Pick<BenchStore, "load" | "original" | "picture">;
  readonly summaries: () => readonly BreakSummary[];
  readonly describe: DescribeClient;
  readonly cache: NumberCache;
}

/** Breaks under way at a time: the threads stay busy and few photographs are in memory. */
const AT_ONCE = 3;
/** Views remembered in memory, the latest ones. */
const VIEWS_KEPT = 400;

/** Breaks in numbers: computed once per state of the record, kept on the disk where there is room. */
export class NumberKeeper {
  readonly #parts: KeeperParts;
  readonly #views = new Map<string, Promise<Float32Array>>();
  #breaks: Promise<Map<string, KeptNumbers>> | null = null;

  constructor(parts: KeeperParts) {
    this.#parts = parts;
  }

  /**
   * The numbers of the views of a record, machine end first; of views without a wire outline there are none.
   *
   * @param work – `signal` ends it with an AbortError; `onFault` hears of views that cannot be read, which are left out.
   * @throws StoreError; DOMException AbortError.
   */
  async viewNumbersOf(record: WireBreak, work: NumberWork = {}): Promise<ViewNumbers[]> {
    return (await this.#viewsOf(record, work)).views;
  }

  /** The numbers of a record as it is in memory, one per `COLUMN_NAMES`; NaN is missing. @throws as `viewNumbersOf` */
  async numbersOf(record: WireBreak, work: NumberWork = {}): Promise<Float32Array> {
    const kept = await this.#kept();
    const known = kept.get(record.id);
    if (known !== undefined && isOf(known, record)) return known.vector;
    const { views, whole } = await this.#viewsOf(record, work);
    const { revision, updatedAt } = record;
    const now: KeptNumbers = { revision, updatedAt, vector: numbersOfBreak(record, views) };
    kept.set(record.id, now);
    // Without one of its views it is tried again another day.
    if (whole) await this.#parts.cache.keepBreak(record.id, now);
    return now.vector;
  }

  /**
   * Every confirmed break that is not in the bin, in the order of the log.
   *
   * @throws StoreError; DOMException AbortError when cancelled: what was computed until then is kept.
   */
  async allConfirmed(work: NumberWork = {}): Promise<readonly ConfirmedBreak[]> {
    const wanted = this.#parts.summaries().filter((s) => s.confirmed !== null && !s.binned);
    const found = await this.#all(wanted, work);
    return found.flatMap(({ type, ...numbered }) => (type === null ? [] : [{ ...numbered, type }]));
  }

  /** Every break that nobody confirmed yet and that is not in the bin. @throws as `allConfirmed` */
  async allOpen(work: NumberWork = {}): Promise<readonly NumberedBreak[]> {
    const wanted = this.#parts.summaries().filter((s) => s.confirmed === null && !s.binned);
    const found = await this.#all(wanted, work);
    return found.flatMap(({ type, ...numbered }) => (type === null ? [numbered] : []));
  }

  async close(): Promise<void> {
    this.#parts.describe.close();
    await this.#parts.cache.close();
  }

  #kept(): Promise<Map<string, KeptNumbers>> {
    return (this.#breaks ??= this.#parts.cache.breaks());
  }

  async #all(
    wanted: readonly BreakSummary[],
    work: NumberWork,
  ): Promise<(NumberedBreak & { readonly type: Verdict | null })[]> {
    const { signal, onProgress } = work;
    const kept = await this.#kept();
    const found = new Array<(NumberedBreak & { readonly type: Verdict | null }) | null>(wanted.length).fill(null);
    let next = 0;
    let done = 0;
    const one = async (): Promise<void> => {
      for (let i = next++; i < wanted.length; i = next++) {
        signal?.throwIfAborted();
        found[i] = fromSummary(wanted[i]!, kept) ?? (await this.#fromRecord(wanted[i]!, work));
        onProgress?.({ done: ++done, total: wanted.length, what: "breaks" });
      }
    };
    await Promise.all(Array.from({ length: AT_ONCE }, one));
    return found.filter((each) => each !== null);
  }

  async #fromRecord({ id }: BreakSummary, work: NumberWork) {
    const stored = await this.#parts.store.load(id);
    if (stored === null || stored.record.binnedAt !== null) return null;
    const { record } = stored;
    const { number, revision, demo } = record;
    return { id, number, revision, demo, type: confirmedType(record), vector: await this.numbersOf(record, work) };
  }

  async #viewsOf(
    record: WireBreak,
    { signal, onFault }: NumberWork,
  ): Promise<{ readonly views: ViewNumbers[]; readonly whole: boolean }> {
    const read = await Promise.all(
      viewsToDescribe(record).map(async (view): Promise<ViewNumbers | null> => {
        try {
          const values = await this.#view(view, signal).catch((error: unknown) => {
            // Two asked for the view and the other one gave up: it is asked for once more.
            const others = error instanceof PictureError && error.code === "cancelled" && signal?.aborted !== true;
            if (others) return this.#view(view, signal);
            throw error;
          });
          return { side: view.side, kind: view.outline.type === "ellipse" ? "face" : "side", values };
        } catch (error) {
          signal?.throwIfAborted();
          if (!(error instanceof PictureError)) throw error;
          onFault?.({ number: record.number, fileName: view.photograph.fileName, message: error.message });
          return null;
        }
      }),
    );
    const views = read.filter((view) => view !== null);
    return { views, whole: views.length === read.length };
  }

  #view(view: ViewToDescribe, signal: AbortSignal | undefined): Promise<Float32Array> {
    const key = viewKey(view);
    const known = this.#views.get(key);
    if (known) {
      this.#views.delete(key);
      this.#views.set(key, known);
      return known;
    }
    const pending = this.#readView(key, view, signal);
    this.#views.set(key, pending);
    // A cancelled or failed look is no answer to the next one who asks.
    pending.catch(() => this.#views.delete(key));
    const [oldest] = this.#views.keys();
    if (this.#views.size > VIEWS_KEPT && oldest !== undefined) this.#views.delete(oldest);
    return pending;
  }

  async #readView(
    key: string,
    { photograph, outline }: ViewToDescribe,
    signal: AbortSignal | undefined,
  ): Promise<Float32Array> {
    const { cache, describe, store } = this.#parts;
    const kept = await cache.view(key);
    if (kept !== undefined) return kept;
    // As blobToShow of the bench: a working copy would show the page and tone of another day.
    const chosen = photograph.deepTone !== undefined || (photograph.page ?? 0) > 0;
    const blob = await (chosen ? store.original(photograph.hash) : store.picture(photograph.hash));
    if (blob === null)
      throw new PictureError("not-a-picture", `The original of ${photograph.fileName} is not on this disk.`);
    const numbers = await describe.describe({ blob, shown: shownAs(photograph), outline }, signal);
    await cache.keepView(key, numbers);
    return numbers;
  }
}

const isOf = (kept: KeptNumbers, { revision, updatedAt }: { revision: number; updatedAt: string }): boolean =>
  kept.revision === revision && kept.updatedAt === updatedAt;

/** Without reading the record: what the log knows of it and what was kept. Null when the record has to be read. */
function fromSummary(summary: BreakSummary, kept: ReadonlyMap<string, KeptNumbers>) {
  const { id, number, demo, revision, updatedAt, confirmed } = summary;
  const known = kept.get(id);
  if (known === undefined || revision === undefined || !isOf(known, { revision, updatedAt })) return null;
  return { id, number, revision, demo, type: confirmed as Verdict | null, vector: known.vector };
}
