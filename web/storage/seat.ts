import { BenchWriter } from "./bench-writer.ts";
import type { Recovered, StoreError } from "./contract.ts";
import type { BenchDatabase } from "./database.ts";
import { strictly } from "./database.ts";
import type { Checkpoint } from "./safe/checkpoint.ts";
import { alone, CHECKPOINT } from "./safe/checkpoint.ts";
import { lastSeq } from "./safe/meet.ts";
import { moveOriginals } from "./safe/move-originals.ts";
import { reconcile } from "./safe/reconcile.ts";
import { Safe } from "./safe/safe.ts";
import { asStoreError } from "./store-failure.ts";
import type { WritingTab } from "./writing-tab.ts";
import { seekWriting } from "./writing-tab.ts";

/** The place of this tab among the tabs of one bench: it reads, or it holds the safe and writes. */
export interface Seat {
  /** Null while this tab only reads. */
  readonly writer: BenchWriter | null;
  readonly safe: boolean;
  readonly recovered: Recovered | null;
  /** Takes no more writes. */
  stop(): void;
  /** Lets the safe and the right to write go. */
  leave(): void;
}

interface SeatOptions {
  readonly db: BenchDatabase;
  readonly name: string;
  /** Told of every later change, never of the first answer. */
  readonly onMode: (mode: "writer" | "reader") => void;
  /** This tab got the right to write later on, but the safe could not be opened. */
  readonly onFailure: (error: StoreError) => void;
}

/**
 * Takes a seat. A tab that gets the right to write, now or later, first brings database and safe to say the same.
 *
 * @throws StoreError unavailable (no locks), disk-full, terminated.
 */
export async function takeSeat({ db, name, onMode, onFailure }: SeatOptions): Promise<Seat> {
  let writer: BenchWriter | null = null;
  let safeThere = await wasSafe(db);
  let recovered: Recovered | null = null;
  let left = false;
  /** The right to write may be lost while the safe is being opened; every turn counts. */
  let turn = 0;

  const sitDown = async (): Promise<boolean> => {
    const mine = ++turn;
    const safe = await Safe.open(name);
    try {
      const met = safe === null ? { checkpoint: await standAlone(db), recovered: null } : await reconcile(db, safe);
      if (left || mine !== turn) {
        safe?.close();
        return false;
      }
      recovered = met.recovered ?? recovered;
      safeThere = safe !== null;
      writer = new BenchWriter(db, safe, met.checkpoint);
    } catch (failure) {
      safe?.close();
      throw failure;
    }
    if (safe !== null) void moveOriginals(db, writer);
    return true;
  };
  const getUp = (): void => {
    turn++;
    writer?.close();
    writer = null;
  };

  const tab: WritingTab = await seekWriting(`endpair-writer:${name}`, (mode) => {
    if (mode === "reader") {
      getUp();
      onMode("reader");
    } else
      sitDown().then(
        (seated) => seated && onMode("writer"),
        (failure: unknown) => onFailure(asStoreError(failure)),
      );
  });
  try {
    if (tab.mode === "writer") await sitDown();
  } catch (failure) {
    tab.leave();
    throw asStoreError(failure);
  }
  return {
    get writer() {
      return writer;
    },
    get safe() {
      return safeThere;
    },
    get recovered() {
      return recovered;
    },
    stop() {
      left = true;
      writer?.stop();
    },
    leave() {
      left = true;
      getUp();
      tab.leave();
    },
  };
}

/** What the last writing tab found; a tab that only reads goes by it. */
async function wasSafe(db: BenchDatabase): Promise<boolean> {
  const checkpoint = await db.get("safe", CHECKPOINT);
  return checkpoint !== undefined && checkpoint.upTo < Number.MAX_SAFE_INTEGER;
}

/** Notes, before the first write without it, that the safe is left behind. */
async function standAlone(db: BenchDatabase): Promise<Checkpoint> {
  const checkpoint = alone(await lastSeq(db));
  await strictly(db, ["safe"], async (tx) => void (await tx.objectStore("safe").put(checkpoint, CHECKPOINT)));
  return checkpoint;
}
