import type { Recovered } from "../../web/storage/contract.ts";

/** One commit the store said was saved. */
export interface Acknowledged {
  readonly seq: number;
  readonly breakId: string;
  readonly revision: number;
  /** SHA-256 of the log line as stored. */
  readonly entryHash: string;
  /** SHA-256 of the record after it. */
  readonly recordHash: string;
  /** Photograph stored with it. */
  readonly original: string | null;
}

export interface Verified {
  /** Acknowledged commits that are not there, or not as they were. */
  readonly lost: readonly string[];
  /** Breaks whose record is not what their log leads to, or that cannot be read. */
  readonly damaged: readonly string[];
  readonly breaks: number;
  readonly entries: number;
  readonly originals: number;
}

/** What the page offers to the script that kills it. */
export interface KillPage {
  /** Opens the bench; rejects with the reason. What had to be had back from the safe, null when nothing had to. */
  open(): Promise<Recovered | null>;
  /** Marks and imports until the end comes; every saved commit is printed to the console as `ACK {…}`. */
  work(seed: number): Promise<never>;
  /** Looks for these commits; with `everything`, at every break and every original. */
  verify(acknowledged: readonly Acknowledged[], everything: boolean): Promise<Verified>;
}
