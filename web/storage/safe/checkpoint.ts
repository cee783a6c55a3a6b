import type { FramePlace } from "./frame.ts";

/** How far the database has followed the journal; written in the same transaction as what it speaks of. */
export interface Checkpoint {
  /** The last frame followed, by which the journal is recognised; null when none was. */
  readonly frame: FramePlace | null;
  /** Everything before this offset was followed or is damaged. */
  readonly upTo: number;
  /** Highest number of a log line met so far. */
  readonly seq: number;
  /** There while the database is being rebuilt from the journal, with the damage met so far. */
  readonly rebuilding?: { readonly damaged: number };
}

export const CHECKPOINT = "checkpoint";
export const START: Checkpoint = { frame: null, upTo: 0, seq: 0 };

/** Of a database that goes on without its safe: no journal reaches as far, so the next safe is brought together with it. */
export const alone = (seq: number): Checkpoint => ({ frame: null, upTo: Number.MAX_SAFE_INTEGER, seq });
