import type { ScaleProfile } from "../../model/measure/profile.ts";
import { bytesOfKept, putKeptFile, readShelf, type Shelf, writeShelf } from "../model/model-shelf.ts";
import { keepPeopleSeed, keptPeopleSeed, keptSetSettings, writeSetSettings } from "../reference/set-settings.ts";
import { keepVersion, VersionError } from "../reference/version-shelf.ts";
import { sameContent, sha256Hex } from "../storage/canonical.ts";
import { KEYS, type LabSettings, type Settings } from "./lab-settings.ts";
import { labSettingsSchema } from "./lab-settings-schema.ts";

/** What became of the settings of a lab that came in a file; each a few words. */
export interface BroughtSettings {
  readonly brought: readonly string[];
  /** Set otherwise here, and left as it is. */
  readonly kept: readonly string[];
}

/** The settings in a file, every field judged; null when they are none that can be used. */
export function readLabSettings(value: unknown): LabSettings | null {
  const read = labSettingsSchema.safeParse(value);
  return read.success ? read.data : null;
}

/**
 * Brings in what a lab has set up and this bench has not. What is set here stays as it is; what differs is named. Cut
 * off anywhere, the same settings brought in again go on from there.
 *
 * @throws StoreError disk-full, read-only, terminated.
 */
export async function bringLabSettings(store: Settings, from: LabSettings): Promise<BroughtSettings> {
  const report = { brought: [] as string[], kept: [] as string[] };
  await bringProfiles(store, from, report);
  await bringOne(store, KEYS.ladder, from.ladder, "the levels of confirmation", report);
  await bringNamed(store, KEYS.dieSeries, from.dieSeries, ["die series", "die series"], report);
  await bringNamed(store, KEYS.mappings, from.mappings, ["column mapping", "column mappings"], report);
  await bringSet(store, from, report);
  await bringVersions(store, from, report);
  await bringModels(store, from, report);
  return report;
}

interface Report {
  readonly brought: string[];
  readonly kept: string[];
}

const several = (n: number, [one, many]: readonly [string, string]): string => `${n} ${n === 1 ? one : many}`;

/** A profile that was calibrated further there is taken as it is there: its history holds all that is here. */
async function bringProfiles(store: Settings, { profiles }: LabSettings, report: Report): Promise<void> {
  const here = (await store.getSetting<readonly ScaleProfile[]>(KEYS.profiles)) ?? [];
  const fresh = profiles.filter(({ id }) => here.every((p) => p.id !== id));
  let further = 0;
  const merged = here.map((mine) => {
    const theirs = profiles.find(({ id }) => id === mine.id);
    if (theirs === undefined || sameContent(theirs, mine) || goesFurther(mine, theirs)) return mine;
    if (!goesFurther(theirs, mine)) {
      report.kept.push(`the calibration of “${mine.name}”`);
      return mine;
    }
    further++;
    return theirs;
  });
  if (fresh.length + further === 0) return;
  await store.setSetting(KEYS.profiles, [...merged, ...fresh]);
  if (fresh.length > 0) report.brought.push(several(fresh.length, ["calibration profile", "calibration profiles"]));
  if (further > 0) report.brought.push(several(further, ["newer calibration", "newer calibrations"]));
}

/** Whether `a` holds every calibration that `b` has, and says nothing else differently. */
function goesFurther(a: ScaleProfile, b: ScaleProfile): boolean {
  const all = (p: ScaleProfile) => [
    ...(p.history ?? []),
    (({ id: _i, name: _n, setUp: _s, history: _h, outOfUseAt: _o, ...inForce }) => inForce)(p),
  ];
  const [more, less] = [all(a), all(b)];
  return (
    a.name === b.name &&
    (b.outOfUseAt === undefined || a.outOfUseAt === b.outOfUseAt) &&
    less.every((one, i) => more[i] !== undefined && sameContent(more[i], one))
  );
}

async function bringOne(store: Settings, key: string, value: unknown, what: string, report: Report): Promise<void> {
  if (value === null) return;
  const here = await store.getSetting(key);
  if (here === undefined) {
    await store.setSetting(key, value);
    report.brought.push(what);
  } else if (!sameContent(here, value)) report.kept.push(what);
}

async function bringNamed<T extends { readonly name: string }>(
  store: Settings,
  key: string,
  list: readonly T[],
  words: readonly [string, string],
  report: Report,
): Promise<void> {
  const here = (await store.getSetting<readonly T[]>(key)) ?? [];
  const fresh = list.filter(({ name }) => here.every((one) => one.name !== name));
  for (const one of list) {
    const mine = here.find(({ name }) => name === one.name);
    if (mine !== undefined && !sameContent(mine, one)) report.kept.push(`the ${words[0]} “${one.name}”`);
  }
  if (fresh.length === 0) return;
  await store.setSetting(key, [...here, ...fresh]);
  report.brought.push(several(fresh.length, words));
}

/** Breaks left out and photographs judged apart are added to those here; the rules of the set here stay. */
async function bringSet(store: Settings, { set, peopleSeed }: LabSettings, report: Report): Promise<void> {
  if (peopleSeed !== null && (await keptPeopleSeed(store)) === null) {
    await keepPeopleSeed(store, peopleSeed);
    report.brought.push("the codes of people");
  }
  if (set === null) return;
  const here = await keptSetSettings(store);
  if (here === null) {
    await writeSetSettings(store, set);
    report.brought.push("the rules of the reference set");
    return;
  }
  const pair = ({ hashes }: { readonly hashes: readonly string[] }) => [...hashes].sort().join();
  const leftOut = set.leftOut.filter(({ breakId }) => here.leftOut.every((one) => one.breakId !== breakId));
  const apart = set.apart.filter((one) => here.apart.every((mine) => pair(mine) !== pair(one)));
  const ruled = ({ level, plan, given }: typeof set) => ({ level, plan, given });
  if (!sameContent(ruled(here), ruled(set))) report.kept.push("the rules of the reference set");
  if (leftOut.length + apart.length === 0) return;
  await writeSetSettings(store, {
    ...here,
    leftOut: [...here.leftOut, ...leftOut],
    apart: [...here.apart, ...apart],
  });
  report.brought.push(
    several(leftOut.length + apart.length, ["choice for the reference set", "choices for the reference set"]),
  );
}

async function bringVersions(store: Settings, { versions }: LabSettings, report: Report): Promise<void> {
  let fresh = 0;
  for (const version of versions)
    try {
      if ((await keepVersion(store, version)) === "kept") fresh++;
    } catch (failure) {
      if (!(failure instanceof VersionError)) throw failure;
      report.kept.push(`version ${version.version} of the reference set`);
    }
  if (fresh > 0) report.brought.push(several(fresh, ["version of the reference set", "versions of the reference set"]));
}

/** Models join the shelf; which one is in use is taken over only where nobody has chosen one yet. */
async function bringModels(store: Settings, { shelf, models }: LabSettings, report: Report): Promise<void> {
  const here = await readShelf(store);
  const whole: Shelf["models"][number][] = [];
  for (const model of shelf.models) {
    const file = models[model.digest];
    if (here.models.some(({ digest }) => digest === model.digest)) continue;
    if (file === undefined || (await sha256Hex(bytesOfKept(file))) !== model.digest) {
      report.kept.push(`the model “${model.name}”, whose file is not whole,`);
      continue;
    }
    await putKeptFile(store, model.digest, file);
    whole.push(model);
  }
  const names = new Set(whole.map(({ digest }) => digest));
  const choose = here.lines.length === 0 && shelf.lines.length > 0 && (shelf.inUse === null || names.has(shelf.inUse));
  if (whole.length === 0 && !choose) return;
  const weights = Object.entries(shelf.weights).filter(([of]) => names.has(of) || (choose && of === "shipped"));
  await writeShelf(store, {
    ...here,
    models: [...here.models, ...whole],
    weights: { ...Object.fromEntries(weights), ...here.weights },
    ...(choose ? { inUse: shelf.inUse, lines: shelf.lines } : {}),
  });
  if (whole.length > 0) report.brought.push(several(whole.length, ["learnt model", "learnt models"]));
  if (choose && shelf.inUse !== null) report.brought.push("the model in use");
}
