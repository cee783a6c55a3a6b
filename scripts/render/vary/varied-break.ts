import type { BreakTypeId } from "../../../model/evidence/break-type-ids.ts";
import { BREAK_TYPE_IDS } from "../../../model/evidence/break-type-ids.ts";
import type { DemoBreak } from "../demo/demo-break.ts";
import { hash } from "../noise.ts";
import { Draw } from "./draw.ts";
import type { Ground } from "./grounds.ts";
import type { LightFamily } from "./light-families.ts";
import type { FaceFacts } from "./part.ts";
import { variedShots } from "./shots.ts";
import type { SplitId } from "./splits.ts";
import { SPLITS, splitOf } from "./splits.ts";
import { PART_MAKERS } from "./types/index.ts";

export interface VariedOptions {
  /** Left out: the types take turns by seed, so that every run of seeds is balanced. */
  readonly type?: BreakTypeId;
  /** Left out: one of the split's own. */
  readonly lights?: LightFamily;
  readonly ground?: Ground;
}

/** An invented break drawn from a seed, with what is known for certain about it. */
export interface VariedBreak extends DemoBreak {
  readonly seed: number;
  readonly split: SplitId;
  readonly type: BreakTypeId;
  readonly lights: LightFamily;
  readonly ground: Ground;
  readonly facts: FaceFacts;
}

/** The type whose turn it is. */
function typeOf(seed: number, split: SplitId): BreakTypeId {
  const turn = (seed - SPLITS[split].first) % BREAK_TYPE_IDS.length;
  return BREAK_TYPE_IDS[turn]!;
}

/**
 * Draws a break and its photographs from a seed: type, metal, shape, face, skin, light, ground, camera, and how each
 * wire lies in its picture. The same seed and options give the same break, and its pictures the same bytes.
 *
 * @throws RangeError when the seed belongs to no split: its lights and grounds would be unknown.
 */
export function variedBreak(seed: number, options: VariedOptions = {}): VariedBreak {
  const split = splitOf(seed);
  if (split === null) throw new RangeError(`Seed ${seed} belongs to no split; see splits.ts for their ranges.`);
  const type = options.type ?? typeOf(seed, split);
  const d = new Draw(hash(seed, 1, 4243) >>> 1);
  const faceSeed = hash(seed, 2, 4243) >>> 3;
  const number = `V-${String(seed).padStart(5, "0")}`;
  const bench = {
    lights: options.lights ?? d.pick(SPLITS[split].lights),
    ground: options.ground ?? d.pick(SPLITS[split].grounds),
  };
  const wireMm = Math.round(d.size(0.5, 6) * 100) / 100;
  const oval = d.chance(0.6) ? d.between(0, 0.008) : d.between(0.008, 0.03);
  const lines = d.between(0.5, 1.3);
  const part = PART_MAKERS[type](d, faceSeed);
  const body = { ovality: oval, ...part.body };
  const month = 1 + (seed % 12);
  const known = d.chance(0.85);
  return {
    seed,
    split,
    type,
    ...bench,
    facts: part.facts,
    look: {
      number,
      seed,
      metal: part.metal,
      wireMm,
      body,
      face: part.face,
      ...(part.takeUpFace ? { takeUpFace: part.takeUpFace } : {}),
      skin: { seed: faceSeed + 500, lines: part.lines ?? lines, ...part.skin },
      shots: variedShots(d, number, bench, body, part.ahead ?? 0.5),
    },
    story: part.story,
    expected: type,
    taken: `2026-${String(month).padStart(2, "0")}-${String(1 + (seed % 28)).padStart(2, "0")}T09:00:00`,
    grade: part.grade,
    context: {
      rendered: true,
      note: "Invented break. The photographs are rendered.",
      draw_direction: known ? "arrow recorded, machine end upstream" : "not recorded",
      mate: "yes",
      ...part.context,
    },
    marks: part.marks,
  };
}
