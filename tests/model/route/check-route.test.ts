import { describe, expect, test } from "vitest";
import { checkDieSeries, checkRoute } from "../../../model/route/check-route.ts";
import { constantElongation } from "../../../model/route/constant-elongation.ts";
import { die, machine, route, withDie } from "./a-route.ts";

const copy = (): Record<string, unknown> => JSON.parse(JSON.stringify(route())) as Record<string, unknown>;
/** The route with a field set by its path. */
function set(path: string, value: unknown): unknown {
  const whole = copy();
  const steps = path.split(/[.[\]]+/).filter((s) => s !== "");
  const last = steps.pop()!;
  const at = steps.reduce<Record<string, unknown>>((o, step) => o[step] as Record<string, unknown>, whole);
  if (value === undefined) delete at[last];
  else at[last] = value;
  return whole;
}

describe("a route is checked field by field", () => {
  test("a sound route comes back as it is, also after a round through JSON", () => {
    expect(checkRoute(route())).toEqual({ route: route(), faults: [] });
    expect(checkRoute(copy()).route).toEqual(route());
    const worn = withDie(route(), 0, 0, {
      wear: { outMm: 7.2, entrySemiAngleDeg: 9, ring: { depthMm: 0.05, widthMm: 0.6 } },
    });
    expect(checkRoute(worn).faults).toEqual([]);
  });

  test.each([
    ["rodMm", "8", "not-a-number"],
    ["rodMm", undefined, "missing"],
    ["machines", {}, "not-a-list"],
    ["machines", [], "missing"],
    ["machines[0]", 3, "not-an-object"],
    ["machines[0].name", 3, "not-a-text"],
    ["machines[0].dies[1].outMm", 7.9, "not-a-reduction"],
    ["machines[0].dies[1].outMm", Number.POSITIVE_INFINITY, "not-a-number"],
    ["machines[0].dies[1].outMm", -1, "out-of-range"],
    ["machines[0].dies[1].inMm", 5, "does-not-follow"],
    ["machines[0].dies[1].semiAngleDeg", 60, "out-of-range"],
    ["machines[0].dies[1].bearingMm", -1, "out-of-range"],
    ["machines[0].dies[1].lubricant", 4, "not-a-text"],
    ["machines[0].dies[1].tonnes", -4, "out-of-range"],
    ["machines[0].dies[1].friction", null, "not-an-object"],
    ["machines[0].dies[1].friction.kind", "tau", "not-one-of"],
    ["machines[0].dies[1].friction.high", 1.4, "out-of-range"],
    ["machines[0].dies[1].friction.value", 0.3, "out-of-range"],
    ["machines[0].dies[1].wear", 4, "not-an-object"],
    ["machines[0].dies[1].colour", "red", "unknown-field"],
    ["machines[0].dies[1]", null, "not-an-object"],
    ["transfers[0].kind", "truck", "not-one-of"],
    ["transfers[0].rewinds", 0.5, "out-of-range"],
    ["transfers[0]", null, "not-an-object"],
    ["transfers", [], "does-not-follow"],
    ["brokeAt", { machine: 1, die: 9 }, "no-such-pass"],
    ["brokeAt", 4, "not-an-object"],
  ])("%s = %o is marked %s", (path, value, code) => {
    const { route: read, faults } = checkRoute(set(path, value));
    expect(read).toBeNull();
    expect(faults).toContainEqual(expect.objectContaining({ field: path, code }));
    expect(faults.every((f) => f.reason.endsWith("."))).toBe(true);
  });

  test("anneals and wear are checked inside", () => {
    const bad = {
      ...route({ anneals: [{ after: { machine: 5, die: 0 }, full: true }] }),
      machines: [
        machine("a", 8, 4),
        { name: "b", dies: [die({ wear: { outMm: 4, ring: { depthMm: -1, widthMm: 0 } } })] },
      ],
    };
    expect(
      checkRoute({ ...bad, anneals: [...bad.anneals, { after: null, full: "yes" }, 4] }).faults.map((f) => f.field),
    ).toEqual([
      "machines[1].dies[0].wear.ring.depthMm",
      "machines[1].dies[0].wear.ring.widthMm",
      "anneals[0].after",
      "anneals[1].full",
      "anneals[2]",
      "brokeAt",
    ]);
    expect(
      checkRoute(set("machines[0].dies[0].wear", { entrySemiAngleDeg: 80, ring: 3 })).faults.map((f) => f.field),
    ).toEqual(["machines[0].dies[0].wear.entrySemiAngleDeg", "machines[0].dies[0].wear.ring"]);
  });

  test("a diameter left by a worn die is what the next one takes", () => {
    expect(checkRoute(withDie(route(), 0, 0, { wear: { outMm: 8.1 } })).faults).toContainEqual(
      expect.objectContaining({ field: "machines[0].dies[0].outMm", code: "not-a-reduction" }),
    );
  });

  test("something that is no route at all", () => {
    expect(checkRoute(7).faults).toEqual([{ field: "", code: "not-an-object", reason: expect.any(String) as string }]);
    expect(checkRoute(undefined).faults[0]?.code).toBe("missing");
  });
});

describe("constant elongation", () => {
  test("8 to 2 mm in two dies goes by 4 mm; the last is exact", () => {
    expect(constantElongation(8, 2, 2)).toEqual([4, 2]);
    const fine = constantElongation(5.5, 0.25, 17);
    expect(fine.at(-1)).toBe(0.25);
    const ratios = fine.map((d, i) => (i === 0 ? 5.5 : fine[i - 1]!) / d);
    for (const ratio of ratios) expect(ratio).toBeCloseTo(22 ** (1 / 17), 12);
  });
  test("bad counts and diameters have their codes", () => {
    expect(() => constantElongation(2, 8, 2)).toThrow(expect.objectContaining({ code: "diameters-not-a-reduction" }));
    expect(() => constantElongation(8, 2, 1.5)).toThrow(expect.objectContaining({ code: "count-not-whole" }));
  });
});

describe("a stored series of dies", () => {
  test("comes back as it is, or with its faults in place", () => {
    const series = { name: "8 to 3.3", machine: "breakdown", dies: machine("a", 8, 4).dies };
    expect(checkDieSeries(series)).toEqual({ series, faults: [] });
    expect(
      checkDieSeries({ ...series, name: 4, dies: [die(), die({ outMm: 4.2 })] }).faults.map((f) => f.field),
    ).toEqual(["name", "dies[1].outMm"]);
    expect(checkDieSeries([]).faults[0]?.code).toBe("not-an-object");
  });
});
