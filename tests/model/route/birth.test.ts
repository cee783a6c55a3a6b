import { beforeAll, describe, expect, test } from "vitest";
import { recordedReversals, traceBirth, type Birth } from "../../../model/route/birth.ts";
import { fitLimit } from "../../../model/route/limit-fit.ts";
import { flankAfter, lengthAfter } from "../../../model/route/volume-clock.ts";
import { die, evidence, machine, route, withDie } from "./a-route.ts";
import { Random } from "./random.ts";
import { simulateBreaks } from "./simulated-mill.ts";

const likeliest = (b: Birth) => b.passes.reduce((a, c) => (c.probability > a.probability ? c : a));
const total = (b: Birth) => b.passes.reduce((sum, p) => sum + p.probability, b.cannotBeSaid);
const inMachine = (b: Birth, m: number) => b.machines[m]!.probability;

describe("no place of birth while ends or draw direction are unknown", () => {
  test.each([
    [{ endsKnown: false }, /which end stayed in the machine is not known/],
    [{ drawDirectionKnown: false }, /the draw direction is not known/],
    [{ endsKnown: false, drawDirectionKnown: false }, /which end .* and the draw direction/],
  ])("%o", (over, says) => {
    const b = traceBirth(route(), evidence(over));
    expect([b.stated, b.passes, b.machines, b.cannotBeSaid]).toEqual([false, [], [], 1]);
    expect(b.says).toMatch(says);
    expect(b.requests).toHaveLength(1);
  });
  test("a route without a pass", () => {
    const empty = route({ machines: [{ name: "a", dies: [] }], transfers: [], brokeAt: null });
    expect(traceBirth(empty, evidence()).stated).toBe(false);
  });
});

describe("what each kind of evidence does", () => {
  test("probabilities of passes and of not being able to say add up to 1, each with reasons", () => {
    const b = traceBirth(route(), evidence({ flankDeg: { value: 30, sd: 3 } }));
    expect(total(b)).toBeCloseTo(1, 12);
    expect(b.machines.reduce((s, m) => s + m.probability, b.cannotBeSaid)).toBeCloseTo(1, 12);
    for (const p of b.passes) expect(p.reasons.length).toBeGreaterThanOrEqual(4);
  });

  test("cone on the machine end: this machine; on the take-up end through one coil: the one before", () => {
    const [withDraw, against] = (["machine", "take-up"] as const).map((coneOn) =>
      traceBirth(route(), evidence({ coneOn })),
    );
    expect(inMachine(withDraw!, 1)).toBeGreaterThan(10 * inMachine(withDraw!, 0));
    expect(inMachine(against!, 0)).toBeGreaterThan(10 * inMachine(against!, 1));
    expect(likeliest(against!).reasons.join(" ")).toMatch(/against today's draw; that fits a birth here/);
  });

  test("an in-line transfer does not reverse; an unknown one decides nothing and is asked for", () => {
    const inLine = traceBirth(route({ transfers: [{ kind: "in_line", rewinds: 0 }] }), evidence());
    const unknown = traceBirth(route({ transfers: [{ kind: null, rewinds: 0 }] }), evidence());
    const coil = traceBirth(route(), evidence());
    expect(inMachine(inLine, 0)).toBeGreaterThan(inMachine(unknown, 0));
    expect(inMachine(unknown, 0)).toBeGreaterThan(inMachine(coil, 0));
    expect(unknown.requests.join(" ")).toMatch(/which end led at pay-off/);
    expect(unknown.passes[0]!.reasons.join(" ")).toMatch(/not known, so the direction decides nothing/);
  });

  test("counted reversals that contradict the record weaken the direction and say so", () => {
    const sure = traceBirth(route(), evidence({ reversals: 1 }));
    const doubtful = traceBirth(route(), evidence({ reversals: 2 }));
    expect(inMachine(doubtful, 0)).toBeGreaterThan(2 * inMachine(sure, 0));
    expect(doubtful.passes[0]!.reasons.join(" ")).toMatch(
      /counted reversals \(2\) and the recorded transfers \(1\) disagree/,
    );
    expect(recordedReversals(route({ transfers: [{ kind: null, rewinds: 2 }] }), 1)).toBeNull();
    expect(recordedReversals(route({ transfers: [{ kind: "spool", rewinds: 2 }] }), 1)).toBe(3);
  });

  test("a steep or worn die draws the suspicion to itself", () => {
    const steep = traceBirth(withDie(route(), 1, 1, { semiAngleDeg: 12 }), evidence());
    expect(likeliest(steep).at).toEqual({ machine: 1, die: 1 });
    expect(likeliest(steep).reasons[0]).toMatch(/inside the danger region/);
    expect(steep.says).toMatch(/^Most likely born at die 2 of finisher/);
    const worn = withDie(route(), 1, 1, { wear: { entrySemiAngleDeg: 14 } });
    expect(likeliest(traceBirth(worn, evidence())).reasons.join(" ")).toMatch(/die is worn: the wire meets 6° to 14°/);
    const tired = traceBirth(withDie(route(), 1, 1, { tonnes: 80 }), evidence());
    expect(tired.passes[5]!.reasons.join(" ")).toMatch(/drawn 80 t and its wear was not measured/);
    expect(tired.requests.join(" ")).toMatch(/Measure the wear/);
  });

  test("measured wear widens the band of the pass", () => {
    const b = (wear: { entrySemiAngleDeg: number } | null) =>
      likeliest(traceBirth(withDie(route(), 1, 1, { wear, semiAngleDeg: 9 }), evidence()));
    expect(b({ entrySemiAngleDeg: 13 }).reasons[0]).not.toBe(b(null).reasons[0]);
  });

  /** Volume constancy: a flank of 52.8° and a pitch of one diameter at die 2 of the breakdown machine. */
  test("flank and pitch point to the die whose volume clock they keep", () => {
    const one = route({ machines: [machine("a", 8, 9)], transfers: [], brokeAt: null });
    const [from, to] = [8 * 0.8 ** 1.5, 8 * 0.8 ** 4.5];
    const flankDeg = { value: flankAfter(52.8, from, to), sd: 1 };
    const pitchMm = { value: lengthAfter(from, from, to), sd: null, spacings: 5 };
    expect(likeliest(traceBirth(one, evidence({ flankDeg }))).at.die).toBe(2);
    expect(likeliest(traceBirth(one, evidence({ pitchMm }))).at.die).toBe(2);
    const few = traceBirth(one, evidence({ pitchMm: { ...pitchMm, spacings: 2 } }));
    expect(few.passes.map((p) => p.probability)).toEqual(traceBirth(one, evidence()).passes.map((p) => p.probability));
    expect(few.passes[0]!.reasons.join(" ")).toMatch(/fewer than 3 spacings and was not used/);
  });

  test("a hard wire breaks within a few dies, a ductile one may carry the burst far", () => {
    const one = route({ machines: [machine("a", 8, 12)], transfers: [], brokeAt: null });
    const late = (ductility: "hard" | "ductile" | "unknown") =>
      traceBirth(one, evidence({ ductility }))
        .passes.slice(-4)
        .reduce((sum, p) => sum + p.probability, 0);
    expect(late("hard")).toBeGreaterThan(late("unknown"));
    expect(late("hard")).toBeGreaterThan(1.5 * late("ductile"));
    const reasons = traceBirth(one, evidence({ ductility: "hard" })).passes[0]!.reasons.join(" ");
    expect(reasons).toMatch(/11 more dies; a hard metal carries a burst through two to four: more than usual/);
  });

  test("chevrons both ways mean at least two machines, named by direction", () => {
    const b = traceBirth(route(), evidence({ chevrons: "both", coneOn: null }));
    expect(b.several).toEqual([
      { direction: 1, machines: ["finisher"] },
      { direction: -1, machines: ["breakdown"] },
    ]);
    expect(b.says).toMatch(/at least two machines contributed/);
    expect(b.passes[0]!.reasons.join(" ")).toMatch(/excludes no pass/);
    expect(traceBirth(route(), evidence({ chevrons: "against" })).several).toHaveLength(2);
    expect(traceBirth(route(), evidence({ chevrons: "with" })).several).toEqual([]);
    const alone = traceBirth(route(), evidence({ coneOn: null, chevrons: "against" }));
    expect(inMachine(alone, 0)).toBeGreaterThan(inMachine(alone, 1));
    expect(traceBirth(route(), evidence({ coneOn: null, chevrons: "with" })).several).toEqual([]);
  });

  test("every pass gentle: it cannot be said, look elsewhere", () => {
    const gentle = route({ machines: [machine("a", 8, 5, 0.25, { semiAngleDeg: 4 })], transfers: [], brokeAt: null });
    const b = traceBirth(gentle, evidence());
    expect(b.says).toMatch(/^Where it was born cannot be said/);
    expect(b.cannotBeSaid).toBeGreaterThan(0.3);
    expect(b.requests[0]).toMatch(/the last one was taken/);
  });

  test("a pass outside the verified range is weighed as a guess, and says so", () => {
    const b = traceBirth(withDie(route(), 1, 0, { semiAngleDeg: 25 }), evidence());
    expect(b.passes[4]!.reasons[0]).toMatch(/outside the verified .* only guessed/);
  });

  test("high oxygen and porosity only make it worse: no probability moves, oxygen is never a cause", () => {
    const plain = traceBirth(route(), evidence());
    const dirty = traceBirth(route(), evidence({ highOxygen: true, porosity: true }));
    expect(dirty.passes.map((p) => p.probability)).toEqual(plain.passes.map((p) => p.probability));
    expect(dirty.aggravating).toHaveLength(2);
    expect(dirty.aggravating.join(" ")).toMatch(/never the cause/);
    expect(JSON.stringify([dirty.says, dirty.passes])).not.toMatch(/oxygen/i);
  });

  test("the limit that was used is stated, and a fitted one changes the answer", () => {
    const bursts = Array.from({ length: 8 }, () => ({ kind: "burst" as const, passes: [{ value: 0.35, sd: 0.025 }] }));
    const steep = withDie(route(), 1, 1, { semiAngleDeg: 9 });
    const [assumed, fitted] = [traceBirth(steep, evidence()), traceBirth(steep, evidence(), fitLimit(bursts))];
    expect(assumed.limitSays).toMatch(/assumed/);
    expect(fitted.limitSays).toMatch(/8 confirmed bursts/);
    expect(fitted.cannotBeSaid).toBeLessThan(assumed.cannotBeSaid);
  });

  test("passes after the break play no part", () => {
    const b = traceBirth(route({ brokeAt: { machine: 0, die: 2 } }), evidence());
    expect(b.passes.map((p) => p.at)).toEqual([0, 1, 2].map((d) => ({ machine: 0, die: d })));
    expect(b.passes.at(-1)!.reasons.join(" ")).toMatch(/broke at this die/);
  });

  test("a die called by the mill's own name is named so", () => {
    const named = route({
      machines: [{ name: "M7", dies: [die({ name: "W-311", outMm: 7.7, semiAngleDeg: 12 })] }],
      transfers: [],
      brokeAt: null,
    });
    expect(traceBirth(named, evidence()).says).toMatch(/die W-311 of M7/);
  });
});

/** The mill and all it takes for granted are told in simulated-mill.ts. */
describe("2,000 breaks of a simulated mill", () => {
  const pairs: { readonly p: number; readonly hit: boolean }[] = [];
  const firsts: { readonly p: number; readonly hit: boolean }[] = [];
  let onRoute = 0;
  let inFirstTwo = 0;
  beforeAll(() => {
    for (const { route: r, evidence: e, bornAt } of simulateBreaks(new Random(7), 2000)) {
      const b = traceBirth(r, e);
      const ranked = b.passes.map((p, i) => ({ i, p: p.probability })).sort((x, y) => y.p - x.p);
      const all = [
        ...ranked.map(({ i, p }) => ({ p, hit: i === bornAt })),
        { p: b.cannotBeSaid, hit: bornAt === null },
      ];
      pairs.push(...all);
      firsts.push(all.reduce((x, y) => (y.p > x.p ? y : x)));
      if (bornAt === null) continue;
      onRoute += 1;
      if (ranked.slice(0, 2).some((x) => x.i === bornAt)) inFirstTwo += 1;
    }
  }, 120_000);

  /** Mean gap between stated probability and observed share over ten equal bins, weighted by how many fall in each. */
  const calibrationError = (told: readonly { readonly p: number; readonly hit: boolean }[]): number => {
    const bins = Array.from({ length: 10 }, () => 0);
    for (const { p, hit } of told) bins[Math.min(9, Math.floor(p * 10))]! += p - (hit ? 1 : 0);
    return bins.reduce((sum, gap) => sum + Math.abs(gap), 0) / told.length;
  };

  test("the true pass is among the first two in at least 80 of 100", () => {
    expect(onRoute).toBeGreaterThan(1900);
    expect(inFirstTwo / onRoute).toBeGreaterThanOrEqual(0.8);
  });
  test("stated probabilities are calibrated: of all passes, and of the likeliest answer alone", () => {
    expect(calibrationError(pairs)).toBeLessThanOrEqual(0.05);
    expect(calibrationError(firsts)).toBeLessThanOrEqual(0.05);
  });
});
