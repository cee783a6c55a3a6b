import type { PoolWeights } from "../../model/classifier/pool.ts";
import type { BenchStore } from "../storage/contract.ts";

/** A model that was in use on this bench once. */
export interface KeptModel {
  /** SHA-256 of its file, lower-case hex. */
  readonly digest: string;
  readonly name: string;
  /** Learnt on this bench, or opened from a file. */
  readonly from: "learnt-here" | "file";
  readonly byteLength: number;
  readonly breaks: number;
  readonly types: number;
  /** Right answers on breaks left out while learning, and how many there were. */
  readonly right: number;
  readonly judged: number;
}

/** One line of the history; lines are only ever added. */
export interface ShelfLine {
  readonly kind: "adopted" | "rolled-back";
  /** The model in use from then on; null = the one that came with Endpair. */
  readonly digest: string | null;
  readonly by: string;
  readonly at: string;
  readonly why: string;
}

/** Which model is in use, and which were. */
export interface Shelf {
  readonly version: 1;
  readonly inUse: string | null;
  readonly models: readonly KeptModel[];
  readonly lines: readonly ShelfLine[];
  /** How much each model counts beside the rules, where that was learnt; by digest, "shipped" for the one that came along. */
  readonly weights: Readonly<Record<string, LearntWeights>>;
}
export interface LearntWeights extends PoolWeights {
  /** Breaks that the weights were learnt from. */
  readonly breaks: number;
}

export const EMPTY_SHELF: Shelf = { version: 1, inUse: null, models: [], lines: [], weights: {} };

/** The second copy on the disk is text, so files are kept as text as well. */
export interface KeptFile {
  readonly base64: string;
  /** Breaks of this bench that it learnt from; null = not known. */
  readonly learntFrom: readonly string[] | null;
}

const SHELF = "models";
const fileKey = (digest: string): string => `model-file:${digest}`;

type Settings = Pick<BenchStore, "getSetting" | "setSetting">;

export async function readShelf(store: Settings): Promise<Shelf> {
  return (await store.getSetting<Shelf>(SHELF)) ?? EMPTY_SHELF;
}
export const writeShelf = (store: Settings, shelf: Shelf): Promise<void> => store.setSetting(SHELF, shelf);

/** The file of a model as it is kept. */
export const keptFile = (store: Settings, digest: string): Promise<KeptFile | undefined> =>
  store.getSetting<KeptFile>(fileKey(digest));
export const putKeptFile = (store: Settings, digest: string, file: KeptFile): Promise<void> =>
  store.setSetting(fileKey(digest), file);

export const bytesOfKept = ({ base64 }: KeptFile): Uint8Array<ArrayBuffer> => fromBase64(base64);

export async function readKept(
  store: Settings,
  digest: string,
): Promise<{ readonly file: Uint8Array<ArrayBuffer>; readonly learntFrom: readonly string[] | null } | null> {
  const kept = await keptFile(store, digest);
  if (kept === undefined) return null;
  return { file: bytesOfKept(kept), learntFrom: kept.learntFrom };
}

export function keepFile(
  store: Settings,
  digest: string,
  file: Uint8Array,
  learntFrom: readonly string[] | null,
): Promise<void> {
  return putKeptFile(store, digest, { base64: toBase64(file), learntFrom });
}

/** Bytes turned into text at a time: an argument list has a limit. */
const PIECE = 0x8000;

function toBase64(bytes: Uint8Array): string {
  let text = "";
  for (let at = 0; at < bytes.length; at += PIECE) text += String.fromCharCode(...bytes.subarray(at, at + PIECE));
  return btoa(text);
}

const fromBase64 = (text: string): Uint8Array<ArrayBuffer> =>
  Uint8Array.from(atob(text), (letter) => letter.charCodeAt(0));
