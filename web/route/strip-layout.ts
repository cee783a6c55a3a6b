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

const LEAST_DIE = 46;
const MOST_DIE = 120;
const ANNEAL = 26;
const TRANSFER = 74;
const EDGE = 40;

/** Room for each die so that the strip fills a width, px. */
function dieRoom(route: Route, wanted: number): number {
  const slots = route.machines.reduce((sum, m) => sum + (m.dies.length === 0 ? 2 : m.dies.length), 0);
  const rest = 2 * EDGE + route.anneals.length * ANNEAL + route.transfers.length * TRANSFER;
  return Math.min(MOST_DIE, Math.max(LEAST_DIE, (wanted - rest) / Math.max(1, slots)));
}

/** Places of everything on the strip, px, and its length. @param wanted - width to fill, px */
export function stripOf(
  route: Route,
  wanted: number,
): { readonly steps: readonly StripStep[]; readonly width: number } {
  const passes = passesOf(route);
  const room = dieRoom(route, wanted);
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
        x: x + room / 2,
        beforeMm: p.input.inMm,
        afterMm: p.input.outMm,
        broke: isAt(route.brokeAt, p.at),
      });
      x += room;
      anneal(p.at);
    });
    if (x === from) x += 2 * room;
    steps.push({ kind: "machine", name: machine.name, x: from, width: x - from });
  });
  return { steps, width: x + EDGE };
}
