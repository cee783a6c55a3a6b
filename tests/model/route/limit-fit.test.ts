import { describe, expect, test } from "vitest";
import { burstChance, fitLimit, type RouteRecord } from "../../../model/route/limit-fit.ts";
import { Random } from "./random.ts";

const at = (...values: readonly number[]) => values.map((value) => ({ value, sd: 0.025 }));

describe("the limit of B", () => {
  test("starts as a stated assumption with its width", () => {
    const fit = fitLimit([]);
    expect([fit.assumed, fit.bursts, fit.sound]).toEqual([true, 0, 0]);
    expect(fit.mean).toBeCloseTo(2 / 3, 2);
    expect(fit.low).toBeLessThan(0.25);
    expect(fit.high).toBeGreaterThan(1.1);
    expect(fit.says).toMatch(/assumed, not measured/);
  });

  test("a burst at a low stress lowers it, a sound route at a high stress raises it, both narrow it", () => {
    const start = fitLimit([]);
    const burst = fitLimit([{ kind: "burst", passes: at(0.1, 0.5) }]);
    const sound = fitLimit([{ kind: "sound", passes: at(0.1, 0.8) }]);
    expect(burst.mean).toBeLessThan(start.mean);
    expect(sound.mean).toBeGreaterThan(start.mean);
    expect(Math.max(burst.sd, sound.sd)).toBeLessThan(start.sd);
    expect([burst.assumed, burst.bursts, sound.sound]).toEqual([false, 1, 1]);
    expect(burst.says).toMatch(/fitted from 1 confirmed burst and 0 routes that ran sound/);
  });

  test("the order of the records does not matter, the same records give the same fit", () => {
    const records: readonly RouteRecord[] = [
      { kind: "burst", passes: at(0.2, 0.9), birth: [0.1, 0.8] },
      { kind: "sound", passes: at(0.5, 0.6) },
      { kind: "sound", passes: at(0.7) },
    ];
    const [a, b] = [fitLimit(records), fitLimit([...records].reverse())];
    expect(a.mean).toBeCloseTo(b.mean, 12);
    expect(fitLimit(records)).toEqual(a);
  });

  test("a birth at the gentle pass says more than a birth somewhere", () => {
    const passes = at(0.3, 1.1);
    expect(fitLimit([{ kind: "burst", passes, birth: [0.95, 0] }]).mean).toBeLessThan(
      fitLimit([{ kind: "burst", passes }]).mean,
    );
  });

  test("a birth left wholly open says nothing", () => {
    expect(fitLimit([{ kind: "burst", passes: at(0.3), birth: [0] }]).mean).toBeCloseTo(fitLimit([]).mean, 9);
  });

  /** 200 simulated labs with a limit of their own, 40 routes each, by the same law of chance the fit uses. */
  test("95 of 100 bounds hold the true limit, and the fit closes in on it", () => {
    const random = new Random(11);
    let held = 0;
    let off = 0;
    for (let lab = 0; lab < 200; lab++) {
      const limit = random.normal(2 / 3, 0.25);
      const records = Array.from({ length: 40 }, (): RouteRecord => {
        const values = Array.from({ length: random.whole(3, 8) }, () => random.between(-0.3, 1.2));
        const born = values.findIndex((v) => random.chance(burstChance({ value: v, sd: 0.025 }, limit)));
        const passes = at(...values);
        return born < 0
          ? { kind: "sound", passes }
          : { kind: "burst", passes, birth: values.map((_, i) => (i === born ? 1 : 0)) };
      });
      const fit = fitLimit(records);
      if (fit.low <= limit && limit <= fit.high) held += 1;
      off += Math.abs(fit.mean - limit) / 200;
    }
    expect(held).toBeGreaterThanOrEqual(182);
    expect(off).toBeLessThan(0.05);
  });
});
