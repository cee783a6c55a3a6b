import { seeded } from "../../classifier/seeded.ts";
import type { WireBreak } from "../../break/wire-break.ts";
import { agreementFigures, type FigureBreak } from "../second/figures.ts";
import { pairsOf, settlementOf } from "../second/pairs.ts";
import type { SecondFigures } from "./set-words.ts";

const NOTHING_MARKED = { drawn: [], firstOnly: [], secondOnly: [], judged: [] } as const;

/** Counts second readings break by break, by their types alone, so that a large set needs no more memory than their lines. */
export function secondReadings(): { add(wireBreak: WireBreak): void; figures(): SecondFigures } {
  const read: FigureBreak[] = [];
  let settled = 0;
  let open = 0;
  return {
    add(wireBreak) {
      const pairs = pairsOf(wireBreak);
      for (const { first, second } of pairs)
        if (first.type !== second.type) {
          if (settlementOf(wireBreak, second).state === "open") open++;
          else settled++;
        }
      if (pairs.length > 0) read.push({ pairs: pairs.map((pair) => ({ ...pair, marks: NOTHING_MARKED })) });
    },
    figures() {
      const { breaks, same, kappa } = agreementFigures(read, seeded);
      return { breaks, same, kappa, settled, open };
    },
  };
}
