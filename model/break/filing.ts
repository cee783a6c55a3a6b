import type { ViewId } from "../evidence/features.ts";
import { groupShots, type ReadShot, type ShotGroup } from "./filing-groups.ts";
import { readName } from "./filing-names.ts";
import type { EndSide } from "./wire-break.ts";

/** A photograph that waits for its place. */
export interface Shot {
  readonly id: string;
  readonly fileName: string;
  /** With the folders it came in; the bare name is enough. */
  readonly relativePath: string;
  /** As the camera wrote it; null = none. */
  readonly capturedAt: string | null;
  readonly widthPx: number;
  readonly heightPx: number;
}

/** named: a word or number says so; likely: order or time says so; guess: something had to be proposed. */
export type FilingConfidence = "named" | "likely" | "guess";

export interface FiledShot {
  readonly shotId: string;
  readonly side: EndSide;
  readonly view: ViewId;
  /** Why this end and this view, in plain words. */
  readonly why: string;
  readonly confidence: FilingConfidence;
}

export interface ProposedBreak {
  /** The lab's number where names say one; null = the next free one. */
  readonly number: string | null;
  readonly filed: readonly FiledShot[];
  /** Why these belong together, in plain words. */
  readonly why: string;
  readonly confidence: FilingConfidence;
}

export interface FilingOptions {
  /** Shortest pause between two breaks when only times are known, minutes. */
  readonly shortestGapMin?: number;
  /** A pause longer than this many usual pauses starts a new break. */
  readonly gapFactor?: number;
}

/** The usual order at the microscope: end-on first, then the sides. Common practice, no source. */
const VIEW_ORDER: readonly ViewId[] = ["end_on", "side_0", "side_90", "tilt_45"];

/**
 * Proposes which photographs belong to one break, and which end and view each shows: by number, then folder, then
 * capture time, then counter. A proposal only; the person corrects it. The order of `shots` does not matter, and every
 * shot is in exactly one break.
 */
export function proposeFiling(shots: readonly Shot[], options: FilingOptions = {}): ProposedBreak[] {
  const read = shots.map((shot): ReadShot => ({ shot, name: readName(shot.fileName, shot.relativePath) }));
  return groupShots(read, options.shortestGapMin ?? 3, options.gapFactor ?? 6).map((group) => ({
    number: group.number,
    why: group.why,
    confidence: group.confidence,
    filed: placeShots(group),
  }));
}

interface Placed {
  readonly read: ReadShot;
  readonly side: EndSide;
  readonly why: string;
  readonly confidence: FilingConfidence;
}

function placeShots(group: ShotGroup): FiledShot[] {
  const placed = placeEnds(group.shots);
  const filed: FiledShot[] = [];
  for (const side of ["machine", "takeUp"] as const) {
    const here = placed.filter((p) => p.side === side);
    const named = here.map(({ read }) => namedView(read, placed));
    const taken = new Set(named.filter((view) => view !== null && view !== "side"));
    here.forEach((p, i) => {
      const said = named[i] ?? null;
      const view = said === null || said === "side" ? nextView(said, taken) : said;
      taken.add(view);
      const token = p.read.name.view?.token;
      const whyView =
        said === null ? "view by order" : token === undefined ? "side view by the letter s" : `view by “${token}”`;
      filed.push({
        shotId: p.read.shot.id,
        side,
        view,
        why: `${p.why}; ${whyView}`,
        confidence: said === null && p.confidence === "named" ? "likely" : p.confidence,
      });
    });
  }
  return filed;
}

/** A letter s is the spool where others are marked m, and a side view where the ends are named otherwise. */
const sMeansSpool = (group: readonly ReadShot[]) =>
  !group.some(({ name }) => name.end?.side === "takeUp") &&
  !group.some(({ name }) => name.spoolOrSide && name.end !== null);

function placeEnds(group: readonly ReadShot[]): Placed[] {
  const spool = sMeansSpool(group);
  const said = group.map((read): Placed | null => {
    const { end, spoolOrSide } = read.name;
    if (end) {
      const name = end.side === "machine" ? "machine end" : "take-up end";
      const why = end.sure ? `end by “${end.token}”` : `“${end.token}” is taken for the ${name}`;
      return { read, side: end.side, why, confidence: end.sure ? "named" : "likely" };
    }
    if (spoolOrSide && spool) return { read, side: "takeUp", why: "end by “s”, the spool", confidence: "named" };
    return null;
  });
  if (said.every((one) => one === null)) {
    const half = Math.ceil(group.length / 2);
    return group.map((read, i) => ({
      read,
      side: i < half ? "machine" : "takeUp",
      why: "end by order, machine end first",
      confidence: "guess",
    }));
  }
  return group.map((read, i): Placed => {
    const own = said[i];
    if (own) return own;
    const neighbour = said.slice(0, i).findLast((one) => one !== null) ?? said.slice(i).find((one) => one !== null);
    return { read, side: neighbour?.side ?? "machine", why: "end as the one beside it", confidence: "guess" };
  });
}

function namedView({ name }: ReadShot, group: readonly Placed[]): ViewId | "side" | null {
  if (name.view) return name.view.view;
  return name.spoolOrSide && !sMeansSpool(group.map(({ read }) => read)) ? "side" : null;
}

function nextView(said: "side" | null, taken: ReadonlySet<string | null>): ViewId {
  const order = said === "side" ? VIEW_ORDER.slice(1, 3) : VIEW_ORDER;
  return order.find((view) => !taken.has(view)) ?? "other";
}
