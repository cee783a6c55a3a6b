import { describe, expect, test } from "vitest";
import { ASSUMED_LIMIT } from "../../model/route/assumed-limit.ts";
import type { Die, Route } from "../../model/route/route.ts";
import { labLimit } from "../../web/route/lab-limit.ts";
import { openApp } from "./log-app.ts";
import { aBreak, storeBreaks } from "./log-breaks.ts";

const die = (outMm: number, semiAngleDeg: number): Die => ({
  name: String(outMm),
  inMm: null,
  outMm,
  semiAngleDeg,
  bearingMm: null,
  lubricant: null,
  friction: { kind: "m", value: 0.08, low: 0.05, high: 0.12 },
  tonnes: null,
  wear: null,
});
/** One pass of 20 % through 6°: well below the assumed limit. */
const FLAT: Route = {
  rodMm: 8,
  machines: [{ name: "a", dies: [die(8 * Math.sqrt(0.8), 6)] }],
  transfers: [],
  anneals: [],
  brokeAt: { machine: 0, die: 0 },
};
/** One pass of 10 % through 10°: well above it. */
const STEEP: Route = { ...FLAT, machines: [{ name: "a", dies: [die(8 * Math.sqrt(0.9), 10)] }] };

function confirmed(number: string, type: "central_burst" | "tensile_overload", route: Route, over = {}) {
  const { record, summary } = aBreak(number, { confirmed: type, context: { tests: { section_sound: true } } });
  return { record: { ...record, route, ...over }, summary: { ...summary, ...over } };
}

async function fit(breaks: readonly ReturnType<typeof confirmed>[], except = "") {
  const { store } = await openApp();
  await storeBreaks(store, breaks);
  return labLimit(store, await store.summaries(), except);
}

describe("the limit of B of a lab", () => {
  test("is the assumption, shown as such, until a burst with a route is confirmed", async () => {
    const limit = await fit([]);
    expect(limit.assumed).toBe(true);
    expect(limit.mean).toBeCloseTo(ASSUMED_LIMIT.mean, 2);
  });

  test("falls with bursts on flat dies and rises with steep routes that ran sound", async () => {
    const bursts = await fit(["B-1", "B-2", "B-3"].map((n) => confirmed(n, "central_burst", FLAT)));
    expect([bursts.assumed, bursts.bursts, bursts.sound]).toEqual([false, 3, 0]);
    expect(bursts.mean).toBeLessThan(ASSUMED_LIMIT.mean - 0.1);
    const sound = await fit(["B-1", "B-2", "B-3"].map((n) => confirmed(n, "tensile_overload", STEEP)));
    expect([sound.bursts, sound.sound]).toEqual([0, 3]);
    expect(sound.mean).toBeGreaterThan(ASSUMED_LIMIT.mean + 0.1);
  });

  test("the open break and invented ones do not count", async () => {
    const breaks = [confirmed("B-1", "central_burst", FLAT), confirmed("B-2", "central_burst", FLAT, { demo: true })];
    expect((await fit(breaks, "break-B-1")).assumed).toBe(true);
  });
});
