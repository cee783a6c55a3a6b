import type { WireBreak } from "../../model/break/wire-break.ts";
import type { Difference } from "../../model/reference/merge/differing.ts";
import type { LoggedEdit } from "../../model/reference/merge/history.ts";
import type { Merged } from "../../model/reference/merge/merge.ts";
import type { TakeOver } from "../../model/reference/merge/take-over.ts";
import type { BenchFileErrorCode } from "../storage/bench-file-error.ts";
import type { WholeBreak } from "../storage/contract.ts";

/** A record and the log that leads to it. */
export interface KeptBreak {
  readonly record: WireBreak;
  readonly log: readonly LoggedEdit[];
}

export type ReadAnswer =
  | { readonly ok: true; readonly whole: WholeBreak }
  | { readonly ok: false; readonly code: BenchFileErrorCode; readonly message: string };

export type MeetAnswer =
  | { readonly together: true; readonly takeOver: Pick<TakeOver, "edit" | "lines">; readonly merged: Standing }
  /** They did not begin as one break. */
  | { readonly together: false; readonly differing: readonly Difference[] };

/** What stands with several values, and what a person needs to settle it. */
export type Standing = Pick<Merged, "conflicts" | "swapped">;

export type MergeRequests = {
  /** Text of a break, checked field by field. */
  readonly read: { readonly input: { readonly path: string; readonly bytes: Uint8Array }; readonly output: ReadAnswer };
  readonly meet: {
    readonly input: { readonly here: KeptBreak; readonly there: KeptBreak; readonly coded: boolean };
    readonly output: MeetAnswer;
  };
  /** null: the log does not lead back to a beginning, so nothing is known of conflicts. */
  readonly standing: { readonly input: KeptBreak; readonly output: Standing | null };
};
