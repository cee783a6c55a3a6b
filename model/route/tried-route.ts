import type { PassInput } from "./pass.ts";
import type { Die, Machine, Route } from "./route.ts";

const SAME = 1e-9;
const differs = (a: number, b: number): boolean => Math.abs(a - b) > SAME * Math.max(Math.abs(a), Math.abs(b));

/**
 * A die as it would be after a change of its pass.
 *
 * Another angle or diameter is another die: what was measured of the wear of the old one, and what it has drawn, does
 * not belong to it. The wire before it is whatever the die before leaves.
 */
function changedDie(die: Die, before: PassInput, after: PassInput): Die {
  const angle = differs(before.semiAngleDeg.value, after.semiAngleDeg.value);
  const bore = differs(before.outMm, after.outMm);
  const fed = differs(before.inMm, after.inMm) ? { inMm: null } : {};
  if (!angle && !bore) return { ...die, ...fed, friction: after.friction };
  return {
    ...die,
    ...fed,
    outMm: after.outMm,
    semiAngleDeg: angle ? after.semiAngleDeg.value : die.semiAngleDeg,
    friction: after.friction,
    tonnes: null,
    wear: null,
  };
}

/** A route in which the dies of one machine are as a changed series of its passes has them. */
export function withSeries(
  route: Route,
  machine: number,
  before: readonly PassInput[],
  after: readonly PassInput[],
): Route {
  return {
    ...route,
    machines: route.machines.map((m, i): Machine => {
      if (i !== machine) return m;
      return {
        ...m,
        dies: m.dies.map((die, d) => {
          const [was, is] = [before[d], after[d]];
          return was === undefined || is === undefined || was === is ? die : changedDie(die, was, is);
        }),
      };
    }),
  };
}
