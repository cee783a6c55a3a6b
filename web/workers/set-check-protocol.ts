import type { Fault } from "../../model/reference/check/fault.ts";

export interface CheckedSet {
  readonly files: number;
  /** Files whose hashes a check that was stopped had found out before. */
  readonly resumed: number;
  readonly faults: number;
  readonly list: readonly Fault[];
  readonly untold: readonly { readonly code: string; readonly more: number }[];
  /** Checks that could not be made here, each a sentence. */
  readonly notDone: readonly string[];
}

export type SetCheckRequests = {
  readonly check: {
    readonly input: {
      readonly file: File;
      /** Database for how far it has come. */
      readonly progressName: string;
    };
    readonly output: CheckedSet | { readonly noZip: string };
  };
};
