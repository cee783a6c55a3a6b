import type { BenchStore } from "../storage/contract.ts";

/** One bringing in or exchange, kept so that a person can tell later where something came from. */
export interface ExchangeReport {
  /** ISO 8601. */
  readonly at: string;
  readonly by: string;
  readonly kind: "set" | "bench-file" | "pictures" | "table" | "benches";
  /** Name of the set, file or meeting point. */
  readonly what: string;
  readonly version: string | null;
  readonly licence: string | null;
  readonly creator: string | null;
  /** What became of it, each part a short sentence. */
  readonly lines: readonly string[];
  /** Breaks that came or changed, at most a hundred are named. */
  readonly breaks: readonly { readonly id: string; readonly number: string; readonly fate: string }[];
}

const KEY = "exchange-reports";
const MOST = 60;
const MOST_BREAKS = 100;

export const exchangeReports = async (store: BenchStore): Promise<readonly ExchangeReport[]> =>
  (await store.getSetting<readonly ExchangeReport[]>(KEY)) ?? [];

/** Adds a report in front of the others. @throws StoreError. */
export async function noteExchange(store: BenchStore, report: ExchangeReport): Promise<void> {
  const short = { ...report, breaks: report.breaks.slice(0, MOST_BREAKS) };
  await store.setSetting(KEY, [short, ...(await exchangeReports(store))].slice(0, MOST));
}

const UNSETTLED = "exchange-unsettled";

/** Breaks that stood with several values when they were last looked at. What stands is always read from their logs. */
export const unsettledIds = async (store: BenchStore): Promise<readonly string[]> =>
  (await store.getSetting<readonly string[]>(UNSETTLED)) ?? [];

/** @throws StoreError. */
export async function noteUnsettled(store: BenchStore, ids: readonly string[]): Promise<void> {
  await store.setSetting(UNSETTLED, [...new Set(ids)].sort());
}
