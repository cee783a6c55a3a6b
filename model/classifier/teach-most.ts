import type { BreakTypeId } from "../evidence/break-type-ids.ts";
import type { ModelAnswer } from "./break-model.ts";
import { sayOf } from "./pool.ts";

/** A break that nobody confirmed, with what the model in use says of it. */
export interface OpenBreak {
  readonly id: string;
  readonly answer: ModelAnswer;
  /** How many of its numbers are known: a break with nothing marked teaches nothing. */
  readonly known: number;
}

export type WhyItTeaches =
  | { readonly kind: "torn"; readonly between: readonly [string, string] }
  /** Beyond nearly all breaks learnt from, or only stranger than most of them. */
  | { readonly kind: "unlike" | "unusual" }
  /** Type with few confirmed breaks, and how many there are. */
  | { readonly kind: "few"; readonly type: string; readonly confirmed: number }
  | { readonly kind: "little-marked" }
  /** Nothing about it is in doubt. */
  | { readonly kind: "sure"; readonly type: string };

export interface Lesson {
  readonly id: string;
  /** 0–1; larger teaches more. */
  readonly score: number;
  readonly why: WhyItTeaches;
}

/**
 * Shares of the score. Doubt counts most: it is where an answer changes the most answers.
 *
 * @source common practice, no source
 */
const SHARE = { doubt: 0.5, unlike: 0.3, few: 0.2 } as const;
/** A break with this many known numbers counts in full, one with none not at all. @source common practice, no source */
const ENOUGH_KNOWN = 12;
/** Below this share of its type's breaks nothing is strange. */
const ORDINARY = 0.5;
/** Every break of a type already on the list makes the next of that type worth this much of itself. */
const SPREAD = 0.85;

/**
 * How much confirming a break would teach: half of it doubt (1 minus the lead of the likeliest type over the next), three
 * tenths how unlike everything learnt from it is, two tenths how few breaks of its likeliest type are confirmed; all of
 * it scaled down where little is marked.
 *
 * @param confirmed – confirmed breaks of each type; none when left out.
 * @source margin as doubt: T. Scheffer, C. Decomain, S. Wrobel, "Active hidden Markov models for information extraction",
 *   IDA 2001; from memory
 */
export function lessonOf(open: OpenBreak, confirmed: Readonly<Partial<Record<BreakTypeId, number>>>): Lesson {
  const [first, second] = open.answer.ranking;
  if (first === undefined) return { id: open.id, score: 0, why: { kind: "little-marked" } };
  const examples = confirmed[first.type as BreakTypeId] ?? 0;
  const parts = {
    doubt: 1 - (first.probability - (second?.probability ?? 0)),
    unlike: Math.max(0, (open.answer.unlike - ORDINARY) / (1 - ORDINARY)),
    few: 1 / Math.sqrt(1 + examples),
  };
  const known = Math.min(1, open.known / ENOUGH_KNOWN);
  const score = known * (SHARE.doubt * parts.doubt + SHARE.unlike * parts.unlike + SHARE.few * parts.few);
  return { id: open.id, score, why: whyOf() };

  function whyOf(): WhyItTeaches {
    if (known < 0.5) return { kind: "little-marked" };
    const torn = SHARE.doubt * parts.doubt;
    const unlike = SHARE.unlike * parts.unlike;
    const few = SHARE.few * parts.few;
    const most = Math.max(torn, unlike, few);
    if (most < 0.08) return { kind: "sure", type: first!.type };
    if (most === torn && second !== undefined) return { kind: "torn", between: [first!.type, second.type] };
    if (most === unlike) return { kind: sayOf(open.answer.unlike) < 1 ? "unlike" : "unusual" };
    return { kind: "few", type: first!.type, confirmed: examples };
  }
}

/**
 * The breaks that would teach most, first things first, and spread over the types: the next one is always the one with
 * the largest score after every break of its likeliest type already listed took its share off.
 *
 * @returns all of them, each with the score that placed it.
 */
export function teachMost(
  breaks: readonly OpenBreak[],
  confirmed: Readonly<Partial<Record<BreakTypeId, number>>>,
): readonly Lesson[] {
  // Within one type the spread never changes the order, so each type is a queue and only its head can be next.
  const queues = new Map<string, Lesson[]>();
  for (const open of breaks) {
    const type = open.answer.ranking[0]?.type ?? "";
    const queue = queues.get(type) ?? [];
    queue.push(lessonOf(open, confirmed));
    queues.set(type, queue);
  }
  for (const queue of queues.values()) queue.sort((a, b) => a.score - b.score || (a.id < b.id ? 1 : -1));
  const worth = new Map([...queues.keys()].map((type) => [type, 1]));
  const list: Lesson[] = [];
  while (list.length < breaks.length) {
    let best: { readonly type: string; readonly score: number } | null = null;
    for (const [type, queue] of queues) {
      const head = queue.at(-1);
      if (head === undefined) continue;
      const score = head.score * worth.get(type)!;
      if (best === null || score > best.score) best = { type, score };
    }
    const next = best === null ? undefined : queues.get(best.type)?.pop();
    if (best === null || next === undefined) break;
    worth.set(best.type, worth.get(best.type)! * SPREAD);
    list.push({ ...next, score: best.score });
  }
  return list;
}
