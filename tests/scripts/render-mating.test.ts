import { describe, expect, it } from "vitest";
import { BREAKS } from "../../scripts/render/breaks.ts";
import type { EndSurface } from "../../scripts/render/end-surface.ts";
import { FACE } from "../../scripts/render/end-surface.ts";
import { buildBreak } from "../../scripts/render/render-break.ts";

const SCALE = 0.09;

/** Gaps between both faces when the ends are pushed together, wire radii: z_machine(x, y) + z_takeUp(−x, y). */
function gaps(machine: EndSurface, takeUp: EndSurface): number[] {
  const found: number[] = [];
  for (let j = 0; j < machine.n; j++)
    for (let i = 0; i < machine.n; i++) {
      const at = j * machine.n + i;
      const mirrored = j * machine.n + (machine.n - 1 - i);
      if (machine.kind[at] === FACE && takeUp.kind[mirrored] === FACE)
        found.push(machine.face[at]! + takeUp.face[mirrored]!);
    }
  return found;
}

const whole = BREAKS.filter((b) => b.look.takeUpFace === undefined);
const ends = (number: string): readonly [EndSurface, EndSurface] => {
  const demo = BREAKS.find((b) => b.look.number === number);
  if (!demo) throw new RangeError(`No demo break is numbered ${number}.`);
  const built = buildBreak(demo.look, SCALE);
  return [built.ends.machine.surface, built.ends.takeUp.surface];
};

describe("both ends of a rendered break mate", () => {
  it.each(whole.map((b) => [b.look.number, b] as const))(
    "%s: metal never overlaps and fits where none is gone",
    (_, demo) => {
      const built = buildBreak(demo.look, SCALE);
      const gap = gaps(built.ends.machine.surface, built.ends.takeUp.surface);
      expect(gap.length).toBeGreaterThan(500);
      const touching = gap.filter((g) => Math.abs(g) < 1e-5).length / gap.length;
      expect(Math.max(...gap)).toBeLessThan(1e-5);
      // Only a void or the gap round a particle takes metal away.
      expect(touching).toBeGreaterThan(
        demo.expected === "casting_void" ? 0.5 : demo.expected === "inclusion" ? 0.55 : 0.999,
      );
    },
  );

  it("a void is a deep hole in both ends at the mirrored place", () => {
    const [machine, takeUp] = ends("D-005");
    const middle = Math.floor(machine.n / 2) * machine.n + Math.floor(machine.n / 2);
    expect(machine.face[middle]).toBeLessThan(-1);
    expect(takeUp.face[middle]).toBeLessThan(-1);
  });

  it("the cone lies on the machine end with the draw and on the take-up end against it", () => {
    const centre = (s: EndSurface): number => s.face[Math.floor(s.n / 2) * s.n + Math.floor(s.n / 2)]!;
    const [withM, withT] = ends("D-003");
    expect(centre(withM)).toBeGreaterThan(0.7);
    expect(centre(withT)).toBeLessThan(-0.7);
    const [againstM, againstT] = ends("D-004");
    expect(centre(againstM)).toBeLessThan(-0.7);
    expect(centre(againstT)).toBeGreaterThan(0.7);
  });

  it("the two pieces of the contradicting break do not fit", () => {
    const [machine, takeUp] = ends("D-013");
    const gap = gaps(machine, takeUp);
    expect(Math.max(...gap.map(Math.abs))).toBeGreaterThan(0.2);
  });
});
