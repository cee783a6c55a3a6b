import type { SplitPlan } from "../../model/reference/splits.ts";
import { DEFAULT_PLAN } from "../../model/reference/splits.ts";
import type { BenchStore } from "../storage/contract.ts";

/** A confirmed break that somebody took out of the set. */
export interface LeftOut {
  readonly breakId: string;
  readonly number: string;
  readonly reason: string;
  readonly by: string;
  readonly at: string;
}

/** Two photographs that look like one and that a person says are two. */
export interface JudgedApart {
  readonly hashes: readonly [string, string];
  readonly reason: string;
  readonly by: string;
  readonly at: string;
}

/** What is written about the set when it is given away; kept, so that the next version starts from it. */
export interface GivenAway {
  readonly name: string;
  readonly creator: string;
  readonly description: string;
  readonly url: string;
  readonly licence: string;
  readonly metadata: "position" | "all";
  readonly withRecords: boolean;
  /** Pixels of a crop to one wire diameter; null = no crops. */
  readonly cropPx: number | null;
}

export interface SetSettings {
  readonly version: 1;
  /** Lowest level of confirmation that is let in; null = every confirmed break. */
  readonly level: string | null;
  readonly plan: SplitPlan;
  readonly leftOut: readonly LeftOut[];
  readonly apart: readonly JudgedApart[];
  readonly given: GivenAway;
}

export const FRESH_SETTINGS: SetSettings = {
  version: 1,
  level: null,
  plan: { ...DEFAULT_PLAN, testFrozen: true },
  leftOut: [],
  apart: [],
  given: {
    name: "wire-breaks",
    creator: "",
    description: "Wire breaks with both ends, marked and confirmed.",
    url: "",
    licence: "CC-BY-4.0",
    metadata: "position",
    withRecords: true,
    cropPx: null,
  },
};

type Settings = Pick<BenchStore, "getSetting" | "setSetting">;
const KEY = "reference-set";
const SEED = "reference-set-people";

/** What somebody has set; null = nobody has. */
export async function keptSetSettings(store: Settings): Promise<SetSettings | null> {
  const kept = await store.getSetting<Partial<SetSettings>>(KEY);
  if (kept === undefined) return null;
  return {
    ...FRESH_SETTINGS,
    ...kept,
    plan: { ...FRESH_SETTINGS.plan, ...kept.plan },
    given: { ...FRESH_SETTINGS.given, ...kept.given },
  };
}
export const readSetSettings = async (store: Settings): Promise<SetSettings> =>
  (await keptSetSettings(store)) ?? FRESH_SETTINGS;
export const writeSetSettings = (store: Settings, settings: SetSettings): Promise<void> =>
  store.setSetting(KEY, settings);

/** The secret that the codes of people follow from; null = none was made yet. */
export const keptPeopleSeed = async (store: Settings): Promise<string | null> =>
  (await store.getSetting<string>(SEED)) ?? null;
export const keepPeopleSeed = (store: Settings, secret: string): Promise<void> => store.setSetting(SEED, secret);

/**
 * The secret that the codes of people follow from. Made once, so that a person has the same code in every version; it
 * never goes into a set.
 *
 * @throws StoreError read-only when there is none yet and this tab may not write.
 */
export async function peopleSeed(store: Settings, newSecret: () => string): Promise<string> {
  const kept = await keptPeopleSeed(store);
  if (kept !== null) return kept;
  const secret = newSecret();
  await keepPeopleSeed(store, secret);
  return secret;
}
