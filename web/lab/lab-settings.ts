import type { ScaleProfile } from "../../model/measure/profile.ts";
import type { Ladder } from "../../model/reference/ladder.ts";
import type { NamedMapping } from "../../model/reference/import/named-mapping.ts";
import type { FrozenVersion } from "../../model/reference/set-version-frozen.ts";
import type { DieSeries } from "../../model/route/route.ts";
import { EMPTY_SHELF, type KeptFile, keptFile, readShelf, type Shelf } from "../model/model-shelf.ts";
import { keptPeopleSeed, keptSetSettings, type SetSettings } from "../reference/set-settings.ts";
import { readVersions } from "../reference/version-shelf.ts";
import type { BenchStore } from "../storage/contract.ts";

export const LAB_FORMAT = "endpair-lab";

/**
 * What a lab has set up on its bench and would miss on another: it travels with the whole bench. What belongs to one
 * person or one machine (name, theme, camera, readings on their way, meeting point) stays where it is.
 */
export interface LabSettings {
  readonly format: typeof LAB_FORMAT;
  readonly version: 1;
  readonly profiles: readonly ScaleProfile[];
  /** null = the one that every bench begins with. */
  readonly ladder: Ladder | null;
  readonly dieSeries: readonly DieSeries[];
  /** Columns of spreadsheets of old records, as they were named once. */
  readonly mappings: readonly NamedMapping[];
  /** Rules and choices of the reference set; null = nobody has set any. */
  readonly set: SetSettings | null;
  readonly versions: readonly FrozenVersion[];
  /** What the codes of people follow from, so that a person keeps theirs in the next version; null = none yet. */
  readonly peopleSeed: string | null;
  readonly shelf: Shelf;
  /** Files of the models on the shelf, by digest. */
  readonly models: Readonly<Record<string, KeptFile>>;
}

export type Settings = Pick<BenchStore, "getSetting" | "setSetting">;

export const KEYS = {
  profiles: "profiles",
  ladder: "ladder",
  dieSeries: "dieSeries",
  mappings: "exchange-mappings",
} as const;

/** What this bench has set up; null when nothing was. @throws StoreError */
export async function labSettings(store: Settings): Promise<LabSettings | null> {
  const list = async <T>(key: string): Promise<readonly T[]> => (await store.getSetting<readonly T[]>(key)) ?? [];
  const shelf = await readShelf(store);
  const models: Record<string, KeptFile> = {};
  for (const { digest } of shelf.models) {
    const file = await keptFile(store, digest);
    if (file !== undefined) models[digest] = file;
  }
  const settings: LabSettings = {
    format: LAB_FORMAT,
    version: 1,
    profiles: await list<ScaleProfile>(KEYS.profiles),
    ladder: (await store.getSetting<Ladder>(KEYS.ladder)) ?? null,
    dieSeries: await list<DieSeries>(KEYS.dieSeries),
    mappings: await list<NamedMapping>(KEYS.mappings),
    set: await keptSetSettings(store),
    versions: await readVersions(store),
    peopleSeed: await keptPeopleSeed(store),
    shelf,
    models,
  };
  return isNothing(settings) ? null : settings;
}

const isNothing = ({ profiles, ladder, dieSeries, mappings, set, versions, peopleSeed, shelf }: LabSettings): boolean =>
  [profiles, dieSeries, mappings, versions].every((list) => list.length === 0) &&
  [ladder, set, peopleSeed].every((one) => one === null) &&
  JSON.stringify(shelf) === JSON.stringify(EMPTY_SHELF);
