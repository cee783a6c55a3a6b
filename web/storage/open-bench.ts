import { askToKeep } from "./keep-promise.ts";
import type { BenchStore, StoreError, StoreEvent } from "./contract.ts";
import { openDatabase } from "./database.ts";
import { IndexedBench } from "./indexed-bench.ts";
import { asStoreError } from "./store-failure.ts";
import { joinTabNews } from "./tab-news.ts";
import { takeSeat } from "./seat.ts";

export interface OpenOptions {
  /** The time of now, ISO 8601; storage reads no clock. */
  readonly now: () => string;
  /** Name of the database; the lock and the channel of the tabs follow it. */
  readonly name?: string;
}

/**
 * Opens the bench of this browser.
 *
 * The writing tab first brings the browser's database and the safe beside it to say the same; what the database lost
 * is had back from the safe (`recovered`).
 *
 * @returns a store that writes, or only reads while another tab writes; it takes over by itself when that tab closes
 * and says so by the event `mode`. On that event, load again what is shown.
 * @throws StoreError blocked, newer-version, disk-full, unavailable.
 */
export async function openBench(options: OpenOptions): Promise<BenchStore> {
  const name = options.name ?? "endpair";
  const listeners = new Set<(event: StoreEvent) => void>();
  const tell = (event: StoreEvent): void => {
    for (const listener of [...listeners]) listener(event);
  };
  const opened: { gone: StoreError | null; bench: IndexedBench | null } = { gone: null, bench: null };
  const db = await openDatabase(name, (error) => {
    opened.gone ??= error;
    opened.bench?.lose(error);
  });
  const news = joinTabNews(`endpair-changes:${name}`, (breakIds) => tell({ kind: "changed", breakIds }));
  try {
    const seat = await takeSeat({
      db,
      name,
      onMode: (mode) => tell({ kind: "mode", mode }),
      onFailure(error) {
        opened.gone ??= error;
        opened.bench?.lose(error);
      },
    });
    const persisted = await askToKeep();
    opened.bench = new IndexedBench({ db, name, seat, news, listeners, now: options.now, persisted });
  } catch (failure) {
    news.close();
    db.close();
    throw asStoreError(failure);
  }
  if (opened.gone !== null) {
    opened.bench.close();
    throw opened.gone;
  }
  return opened.bench;
}
