import type { WireBreak } from "../../break/wire-break.ts";
import type { Verdict } from "../../evidence/break-type-ids.ts";
import { compareMarks, type MarksCompared } from "./compare-marks.ts";
import { pairsOf, settlementOf } from "./pairs.ts";

/** A second reading with the first one, and what became of a difference. */
export interface PairRead {
  readonly readingId: string;
  readonly second: { readonly by: string; readonly type: Verdict; readonly at: string; readonly note: string };
  readonly first: { readonly by: string; readonly type: Verdict; readonly reason: string };
  readonly marks: MarksCompared;
  readonly settlement:
    | { readonly state: "open" }
    | {
        readonly state: "settled" | "reopened";
        /** null = re-opened. */
        readonly type: Verdict | null;
        readonly by: string;
        readonly at: string;
        readonly reason: string;
      };
}

/** A break that was read by two people or more, as far as their agreement is concerned. */
export interface ReadBreak {
  readonly id: string;
  readonly number: string;
  readonly revision: number;
  readonly demo: boolean;
  readonly machine: string | null;
  /** The earliest second reading first. */
  readonly pairs: readonly PairRead[];
}

/** null when nobody but the first reader has read it, or it lies in the bin. */
export function readBreakOf(wireBreak: WireBreak): ReadBreak | null {
  const { id, number, revision, demo, context, binnedAt } = wireBreak;
  if (binnedAt !== null) return null;
  const pairs = pairsOf(wireBreak).map(({ first, second }): PairRead => {
    const settled = settlementOf(wireBreak, second);
    return {
      readingId: second.id,
      second: { by: second.by, type: second.type, at: second.at, note: second.note },
      first: { by: first.by, type: first.type, reason: first.reason },
      marks: compareMarks(wireBreak, second),
      settlement:
        settled.state === "open"
          ? settled
          : {
              state: settled.state,
              type: settled.line.kind === "confirmed" ? settled.line.type : null,
              by: settled.line.by,
              at: settled.line.at,
              reason: settled.line.reason,
            },
    };
  });
  return pairs.length === 0 ? null : { id, number, revision, demo, machine: context.machine, pairs };
}

export const typesDiffer = ({ first, second }: Pick<PairRead, "first" | "second">): boolean =>
  first.type !== second.type;
export const marksDiffer = ({ marks }: Pick<PairRead, "marks">): boolean => marks.strong.length > 0;
