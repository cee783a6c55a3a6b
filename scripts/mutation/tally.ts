import { dirname } from "node:path";
import { wilsonInterval } from "./sample.ts";
import type { Tried } from "./try.ts";

/** What became of a number of mutants. `score`: the share that was noticed, of those that could be run at all. */
export interface Tally {
  readonly sampled: number;
  readonly killed: number;
  readonly survived: number;
  readonly timeout: number;
  readonly noCoverage: number;
  /** Mutants that could not be run: they count neither for nor against. */
  readonly invalid: number;
  readonly score: number | null;
  /** 95 % interval of the score over all mutants, from this sample. */
  readonly interval: readonly [number, number];
}

const rounded = (share: number): number => Math.round(share * 1000) / 1000;

export function tally(tried: readonly Tried[]): Tally {
  const count = (...statuses: Tried["status"][]): number => tried.filter((t) => statuses.includes(t.status)).length;
  const invalid = count("CompileError", "RuntimeError");
  const noticed = count("Killed", "Timeout");
  const valid = tried.length - invalid;
  const [low, high] = wilsonInterval(noticed, valid);
  return {
    sampled: tried.length,
    killed: count("Killed"),
    survived: count("Survived"),
    timeout: count("Timeout"),
    noCoverage: count("NoCoverage"),
    invalid,
    score: valid === 0 ? null : rounded(noticed / valid),
    interval: [rounded(low), rounded(high)],
  };
}

/** The same, for each folder that has a mutant in the sample. */
export function tallyByFolder(tried: readonly Tried[]): Readonly<Record<string, Tally>> {
  const folders = [...new Set(tried.map((t) => dirname(t.mutant.file)))].sort();
  return Object.fromEntries(folders.map((f) => [f, tally(tried.filter((t) => dirname(t.mutant.file) === f))]));
}
