import type { WireBreak } from "../../break/wire-break.ts";
import { END_SIDES } from "../../break/wire-break.ts";
import { shareOfText } from "../share-of-text.ts";
import { samePerson } from "./reader-name.ts";

/** A break as the queue knows it. Its type is no part of it, so that no order or choice can follow from the type. */
export interface QueueBreak {
  readonly id: string;
  readonly number: string;
  readonly machine: string | null;
  /** Day or moment of the break, ISO 8601. */
  readonly date: string;
  /** Photographs of both ends together. */
  readonly photographs: number;
  readonly bothEndsPhotographed: boolean;
  /** Whether somebody has given it a type, and who. */
  readonly labelled: boolean;
  readonly labelledBy: string | null;
  /** Who has read it a second time. */
  readonly readBy: readonly string[];
}

export interface QueueFilter {
  /** null = any. */
  readonly machine: string | null;
  /** Days, "YYYY-MM-DD", both included; null = open. */
  readonly from: string | null;
  readonly to: string | null;
  /** Also breaks that nobody has given a type, if both ends are photographed. */
  readonly unlabelledToo: boolean;
}

export const WHOLE_QUEUE: QueueFilter = { machine: null, from: null, to: null, unlabelledToo: false };

/** Why a break is not served to a reader. */
export type NotServed =
  | "own-label"
  | "own-marks"
  | "read-already"
  | "no-photograph"
  | "not-labelled"
  | "one-end-only"
  | "filtered"
  | "in-the-bin";

/** @returns null when the break waits for this reader, as far as its summary tells. */
export function whyNotServed(wanted: QueueBreak, reader: string, filter: QueueFilter): NotServed | null {
  if (filter.machine !== null && wanted.machine !== filter.machine) return "filtered";
  const day = wanted.date.slice(0, 10);
  if ((filter.from !== null && day < filter.from) || (filter.to !== null && day > filter.to)) return "filtered";
  if (wanted.labelledBy !== null && samePerson(wanted.labelledBy, reader)) return "own-label";
  if (wanted.readBy.some((by) => samePerson(by, reader))) return "read-already";
  if (wanted.photographs === 0) return "no-photograph";
  if (wanted.labelled) return null;
  if (!filter.unlabelledToo) return "not-labelled";
  return wanted.bothEndsPhotographed ? null : "one-end-only";
}

/**
 * Why this reader cannot read this break blind, from its whole record: who ever confirmed or re-opened it, marked it or
 * read it already knows it. null = they can.
 */
export function whyKnown(wireBreak: WireBreak, reader: string): NotServed | null {
  const { confirmations, readings = [], ends, binnedAt } = wireBreak;
  if (binnedAt !== null) return "in-the-bin";
  if (confirmations.some(({ by }) => samePerson(by, reader))) return "own-label";
  if (readings.some(({ by }) => samePerson(by, reader))) return "read-already";
  if (END_SIDES.some((side) => ends[side].marks.some(({ by }) => samePerson(by, reader)))) return "own-marks";
  return END_SIDES.every((side) => ends[side].photographs.length === 0) ? "no-photograph" : null;
}

/** Identifiers in an order that follows from the seed and the identifiers alone. */
export const inChanceOrder = (ids: readonly string[], seed: string): readonly string[] =>
  ids
    .map((id) => ({ id, place: shareOfText(`${seed}\n${id}`) }))
    .sort((a, b) => a.place - b.place || (a.id < b.id ? -1 : 1))
    .map(({ id }) => id);
