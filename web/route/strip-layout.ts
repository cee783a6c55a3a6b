import { reversesWire, type Route } from "../../model/route/route.ts";
import { isAt, passesOf } from "../../model/route/route-passes.ts";
import { annealAfter } from "./route-edits.ts";

/** What stands along the wire axis, in the draw direction. */
export type StripStep =
  | { readonly kind: "machine"; readonly name: string; readonly x: number; readonly width: number }
  | {
      readonly kind: "die";
      readonly index: number;
      readonly name: string;
      readonly x: number;
      readonly beforeMm: number;
      readonly afterMm: number;
      readonly broke: boolean;
    }
  /** `turns`: null = not known. */
  | { readonly kind: "transfer"; readonly x: number; readonly turns: boolean | null }
  | { readonly kind: "anneal"; readonly x: number; readonly full: boolean };

const DIE = 46;
const ANNEAL = 26;
const TRANSFER = 74;
const EDGE = 40;

/** Places of everything on the strip, px, and its length. */
export function stripOf(route: Route): { readonly steps: readonly StripStep[]; readonly width: number } {
  const passes = passesOf(route);
  const steps: StripStep[] = [];
  let x = EDGE;
  const anneal = (after: Parameters<typeof annealAfter>[1]) => {
    const there = annealAfter(route, after);
    if (there === null) return;
    steps.push({ kind: "anneal", x: x + ANNEAL / 2, full: there.full });
    x += ANNEAL;
  };
  anneal(null);
  route.machines.forEach((machine, m) => {
    if (m > 0) {
      const transfer = route.transfers[m - 1];
      steps.push({
        kind: "transfer",
        x: x + TRANSFER / 2,
        turns: transfer === undefined ? null : reversesWire(transfer),
      });
      x += TRANSFER;
    }
    const from = x;
    passes.forEach((p, index) => {
      if (p.at.machine !== m) return;
      steps.push({
        kind: "die",
        index,
        name: p.die.name,
        x: x + DIE / 2,
        beforeMm: p.input.inMm,
        afterMm: p.input.outMm,
        broke: isAt(route.brokeAt, p.at),
      });
      x += DIE;
      anneal(p.at);
    });
    if (x === from) x += 2 * DIE;
    steps.push({ kind: "machine", name: machine.name, x: from, width: x - from });
  });
  return { steps, width: x + EDGE };
}
