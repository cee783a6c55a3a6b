import type { FrozenVersion } from "../../model/reference/set-version-frozen.ts";
import { compareVersions } from "../../model/reference/set-version.ts";
import type { BenchStore } from "../storage/contract.ts";
import { sameContent } from "../storage/canonical.ts";

type Settings = Pick<BenchStore, "getSetting" | "setSetting">;

/** The list names the versions; each lies under a key of its own and is written once. */
const INDEX = "reference-set-versions";
const keyOf = (version: string): string => `reference-set-version:${version}`;

/** Why a version was not frozen. */
export class VersionError extends Error {
  constructor(
    readonly code: "number-taken",
    message: string,
    readonly next: string,
  ) {
    super(message);
    this.name = "VersionError";
  }
}

/** Every version, oldest first. */
export async function readVersions(store: Settings): Promise<readonly FrozenVersion[]> {
  const numbers = await numbersOf(store);
  const found = await Promise.all(numbers.map((version) => store.getSetting<FrozenVersion>(keyOf(version))));
  return found.flatMap((version) => version ?? []).sort((a, b) => compareVersions(a.version, b.version));
}

/**
 * Writes a version down for good, and then its number into the list. A version that was written and not listed – the
 * tab was killed in between – is listed now and never written over.
 *
 * @returns "there" when the very same version was there and listed already.
 * @throws VersionError number-taken; StoreError.
 */
export async function keepVersion(store: Settings, version: FrozenVersion): Promise<"kept" | "there"> {
  const there = await store.getSetting<FrozenVersion>(keyOf(version.version));
  if (there === undefined) await store.setSetting(keyOf(version.version), version);
  const numbers = await numbersOf(store);
  const listed = numbers.includes(version.version);
  if (!listed) await store.setSetting(INDEX, [...numbers, version.version]);
  if (there !== undefined && !sameContent(there, version))
    throw new VersionError(
      "number-taken",
      `There is a version ${version.version} on this disk already; it was left as it is.`,
      "It is in the list now. Freeze yours under the next number.",
    );
  return listed ? "there" : "kept";
}

/** The latest version alone, for those who need only its test part; null = none. */
export async function latestVersion(store: Settings): Promise<FrozenVersion | null> {
  const last = [...(await numbersOf(store))].sort(compareVersions).at(-1);
  return last === undefined ? null : ((await store.getSetting<FrozenVersion>(keyOf(last))) ?? null);
}

const numbersOf = async (store: Settings): Promise<readonly string[]> =>
  (await store.getSetting<readonly string[]>(INDEX)) ?? [];
