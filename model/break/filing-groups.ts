import type { NameReading } from "./filing-names.ts";
import type { FilingConfidence, Shot } from "./filing.ts";

export interface ReadShot {
  readonly shot: Shot;
  readonly name: NameReading;
}

/** Shots of one break in the order in which they were taken. */
export interface ShotGroup {
  readonly number: string | null;
  readonly shots: readonly ReadShot[];
  readonly why: string;
  readonly confidence: FilingConfidence;
}

/** More photographs than this in one folder are a day's work, not one break. Common practice, no source. */
const FOLDER_HOLDS = 12;
/** A camera's counter may skip a few deleted pictures within one break. */
const COUNTER_SKIPS = 3;
const MINUTE_MS = 60_000;

/** @returns groups in order of time, number and path; every shot in exactly one. */
export function groupShots(shots: readonly ReadShot[], shortestGapMin: number, gapFactor: number): ShotGroup[] {
  const sorted = [...shots].sort(inOrder);
  const counters = counterSeries(sorted);
  const groups: ShotGroup[] = [];
  const byNumber = new Map<string, ReadShot[]>();
  const byFolder = new Map<string, ReadShot[]>();
  const rest: ReadShot[] = [];
  for (const read of sorted) {
    const { number, series, folder } = read.name;
    if (number !== null && !(series !== null && counters.has(series))) add(byNumber, keyOf(number), read);
    else if (folder !== null) add(byFolder, read.shot.relativePath.split(/[/\\]/).slice(0, -1).join("/"), read);
    else rest.push(read);
  }
  for (const members of byNumber.values()) {
    const { number = null, foundIn = null } = members[0]?.name ?? {};
    const where = foundIn === "folder" ? "the folder" : "the file name";
    groups.push({ number, shots: members, why: `${where} says ${number ?? ""}`, confidence: "named" });
  }
  for (const members of mergeEnds(byFolder)) {
    if (members.length > FOLDER_HOLDS) rest.push(...members);
    else {
      const folder = members[0]?.name.folder ?? "";
      groups.push({ number: null, shots: members, why: `all in the folder ${folder}`, confidence: "likely" });
    }
  }
  const timed = rest.filter(({ shot }) => timeOf(shot) !== null).sort(inOrder);
  const untimed = rest.filter(({ shot }) => timeOf(shot) === null).sort(inOrder);
  groups.push(...byTime(timed, shortestGapMin, gapFactor), ...byCounter(untimed));
  return groups.sort((a, b) => (a.shots[0] && b.shots[0] ? inOrder(a.shots[0], b.shots[0]) : 0));
}

function add(map: Map<string, ReadShot[]>, key: string, read: ReadShot): void {
  const list = map.get(key);
  if (list) list.push(read);
  else map.set(key, [read]);
}

/** D-3, D-003 and D_003 are one break. */
const keyOf = (number: string) => number.toLowerCase().replace(/(\d+)$/, (digits) => String(Number(digits)));

/** Folders "machine" and "take-up" inside one folder are one break: the named folder above them counts. */
function mergeEnds(byFolder: ReadonlyMap<string, readonly ReadShot[]>): ReadShot[][] {
  const merged = new Map<string, ReadShot[]>();
  for (const [path, members] of byFolder) {
    const folder = members[0]?.name.folder ?? "";
    const parts = path.split("/");
    const upTo = parts.slice(0, parts.lastIndexOf(folder) + 1).join("/");
    for (const read of members) add(merged, upTo, read);
  }
  return [...merged.values()].map((members) => members.sort(inOrder));
}

/**
 * Names alike but for a running number (wire_0001, wire_0002, …) with nothing after it are a camera's counter: each
 * would be a break of a single photograph.
 */
function counterSeries(shots: readonly ReadShot[]): ReadonlySet<string> {
  const bySeries = new Map<string, ReadShot[]>();
  for (const read of shots) if (read.name.series !== null) add(bySeries, read.name.series, read);
  const counters = new Set<string>();
  for (const [series, members] of bySeries) {
    const single = new Set(members.map(({ name }) => keyOf(name.number ?? ""))).size === members.length;
    if (members.length >= 3 && single && members.every(({ name }) => name.bare)) counters.add(series);
  }
  return counters;
}

function byTime(shots: readonly ReadShot[], shortestGapMin: number, gapFactor: number): ShotGroup[] {
  const times = shots.map(({ shot }) => timeOf(shot) ?? 0);
  const gaps = times.slice(1).map((time, i) => time - (times[i] ?? 0));
  const usual = median(gaps);
  const limit = Math.max(gapFactor * usual, shortestGapMin * MINUTE_MS);
  const runs = split(shots, (i) => (gaps[i - 1] ?? 0) > limit);
  const minutes = String(Math.max(1, Math.round(limit / MINUTE_MS)));
  return runs.map((run) => ({
    number: null,
    shots: run,
    why:
      runs.length > 1
        ? `taken with no pause longer than ${minutes} min`
        : "taken in one go, with no longer pause between them",
    confidence: "likely",
  }));
}

function byCounter(shots: readonly ReadShot[]): ShotGroup[] {
  const runs = split(shots, (i) => {
    const before = shots[i - 1]?.name.counter ?? null;
    const here = shots[i]?.name.counter ?? null;
    return before !== null && here !== null && here - before > COUNTER_SKIPS;
  });
  return runs.map((run) => ({
    number: null,
    shots: run,
    why: "no number and no capture time: together by the order of their names",
    confidence: "guess",
  }));
}

function split(shots: readonly ReadShot[], startsNew: (index: number) => boolean): ReadShot[][] {
  const runs: ReadShot[][] = [];
  shots.forEach((read, i) => {
    const last = runs.at(-1);
    if (!last || startsNew(i)) runs.push([read]);
    else last.push(read);
  });
  return runs;
}

function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const middle = Math.floor(sorted.length / 2);
  const upper = sorted[middle] ?? 0;
  return sorted.length % 2 === 1 ? upper : (upper + (sorted[middle - 1] ?? upper)) / 2;
}

/** The camera's clock, ms. Its offset is left out: cameras in one lab differ more often in that setting than in time. */
function timeOf(shot: Shot): number | null {
  const clock = /^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(\.\d+)?/.exec(shot.capturedAt ?? "")?.[0];
  const time = clock === undefined ? NaN : Date.parse(`${clock.slice(0, 23)}Z`);
  return Number.isNaN(time) ? null : time;
}

/** By time, then counter, then path; what has no time or counter comes last. The identifier only breaks ties. */
function inOrder(a: ReadShot, b: ReadShot): number {
  return (
    (timeOf(a.shot) ?? Infinity) - (timeOf(b.shot) ?? Infinity) ||
    (a.name.counter ?? Infinity) - (b.name.counter ?? Infinity) ||
    compare(a.shot.relativePath, b.shot.relativePath) ||
    compare(a.shot.fileName, b.shot.fileName) ||
    compare(a.shot.id, b.shot.id)
  );
}

const compare = (a: string, b: string) => (a < b ? -1 : a > b ? 1 : 0);
