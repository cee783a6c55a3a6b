import { describe, expect, test } from "vitest";
import { directionAfter, machinesOfDirection } from "../../../model/route/reversals.ts";
import { directionsAtBreak } from "../../../model/route/route-passes.ts";
import { machineOfSeries, reversesWire, type Transfer } from "../../../model/route/route.ts";
import { machine, route } from "./a-route.ts";
import fc from "../../properties.ts";

/** A piece of wire as it comes along: where it lies on the wire, and which way its mark points (1 = the way it runs). */
interface Piece {
  readonly at: number;
  readonly mark: 1 | -1;
}

/** Wire is wound up piece by piece; a coil gives back the last lap first, each piece then running tail ahead. */
function wound(wire: readonly Piece[]): readonly Piece[] {
  const coil: Piece[] = [];
  for (const piece of wire) coil.push(piece);
  const out: Piece[] = [];
  for (let piece = coil.pop(); piece !== undefined; piece = coil.pop())
    out.push({ at: piece.at, mark: piece.mark === 1 ? -1 : 1 });
  return out;
}

/** A flipped coil starts with the lap that was laid first: nothing turns. In-line wire is not wound at all. */
function carried(wire: readonly Piece[], { kind, rewinds }: Transfer): readonly Piece[] {
  let now = kind === "spool" || kind === "coil" ? wound(wire) : wire;
  for (let i = 0; i < rewinds; i++) now = wound(now);
  return now;
}

const transfer = fc.record({
  kind: fc.constantFrom("spool" as const, "coil" as const, "coil_flipped" as const, "in_line" as const),
  rewinds: fc.integer({ min: 0, max: 3 }),
});

describe("parity of reversals against a marked wire carried through coils", () => {
  test("a burst born in any machine points the way the wire carries it, over random routes", () => {
    fc.assert(
      fc.property(fc.array(transfer, { maxLength: 6 }), (transfers) => {
        const machines = Array.from({ length: transfers.length + 1 }, (_, i) => machine(`m${i}`, 8, 1));
        const told = directionsAtBreak(route({ machines, transfers }), transfers.length);
        machines.forEach((_, born) => {
          let wire: readonly Piece[] = Array.from({ length: 5 }, (__, at) => ({ at, mark: 1 }) as const);
          for (const t of transfers.slice(born)) wire = carried(wire, t);
          expect(told[born]).toBe(wire[0]!.mark);
          // A wire whose mark points against the draw runs with its other end ahead.
          expect(wire.map((p) => p.at)).toEqual(wire[0]!.mark === 1 ? [0, 1, 2, 3, 4] : [4, 3, 2, 1, 0]);
        });
      }),
    );
  });
});

test("a transfer that is not known leaves the direction open from there back", () => {
  expect(reversesWire({ kind: null, rewinds: 1 })).toBeNull();
  expect(directionAfter([true, null])).toBe(0);
  expect(machinesOfDirection(1, [true, null, true])).toEqual([0, 2, 3]);
});

test("a stored series hangs in its machine", () => {
  const { dies } = machine("a", 8, 3);
  expect(machineOfSeries({ name: "8 to 4", machine: "a", dies })).toEqual({ name: "a", dies });
});
