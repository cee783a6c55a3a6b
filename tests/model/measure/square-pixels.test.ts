import { describe, expect, test } from "vitest";
import type { Geometry } from "../../../model/break/geometry.ts";
import type { Mark, Photograph, Scale } from "../../../model/break/wire-break.ts";
import { checkAgainstWire } from "../../../model/measure/diameter-check.ts";
import { measuresOf } from "../../../model/measure/measures.ts";
import { diameterDifferencePct } from "../../../model/measure/observe.ts";
import { stretched } from "../../../model/measure/square-pixels.ts";
import { measureWarnings } from "../../../model/measure/warnings.ts";
import { breakWith, edges, endWith, line, mark, photograph } from "./a-break.ts";

type ProfileScale = Extract<Scale, { method: "profile" }>;
const profile = (x: number, y: number, u = 0.5, commonU = 0): ProfileScale => ({
  method: "profile",
  profileId: "p",
  name: "2×",
  pxPerMm: { value: x, u },
  pxPerMmY: { value: y, u },
  calibration: { at: "2026-01-10", dueAt: "2027-01-10", commonU, picturePx: [2000, 1500] },
});

function measured(drawn: readonly Mark[], scale: Scale, patch: Partial<Photograph> = {}) {
  const end = endWith([photograph("s", "side_0", { scale, ...patch })], drawn);
  const wireBreak = breakWith({ machine: end });
  return (of: Mark, key: string) => {
    const on = { photograph: end.photographs[0] ?? null, end, side: "machine" as const, wireBreak };
    return measuresOf(of, on, { placingPx: 0 }).find((m) => m.key === key);
  };
}

describe("a scale that differs between x and y", () => {
  const lying = mark("wire_outline", "s", edges([0, 0], [900, 0], [0, 400], [900, 400]));
  const upright = mark("wire_outline", "s", edges([0, 0], [0, 900], [400, 0], [400, 900]));

  test("a length upright uses y, a length across uses x, each with its own uncertainty", () => {
    const scale = profile(200, 250, 1);
    const d = measured([lying], scale)(lying, "d0_mm");
    expect(d?.value).toBeCloseTo(400 / 250, 10);
    // 400 px/(250 ± 1 px/mm): the x readings do not come in.
    expect(d?.u).toBeCloseTo((400 / 250) * (1 / 250), 4);
    const e = measured([upright], scale)(upright, "d0_mm");
    expect(e?.value).toBeCloseTo(400 / 200, 10);
    expect(e?.u).toBeCloseTo((400 / 200) * (1 / 200), 6);
  });

  test("the stage micrometer is common to both: it stays in a length and cancels in a ratio", () => {
    const only = profile(200, 250, 0, 0.01);
    const scale: ProfileScale = { ...only, pxPerMm: { value: 200, u: 2 }, pxPerMmY: { value: 250, u: 2.5 } };
    expect(measured([lying], scale)(lying, "d0_mm")?.u).toBeCloseTo((400 / 250) * 0.01, 8);
    const neck = mark("neck", "s", line([500, 100], [500, 300]));
    expect(measured([lying, neck], scale)(neck, "ra_pct")?.u).toBeCloseTo(0, 8);
  });

  test("a line aslant is hypot(Δx/px per mm in x, Δy/px per mm in y)", () => {
    const neck = mark("neck", "s", line([100, 100], [400, 600]));
    const found = measured([neck], profile(200, 250))(neck, "neck_d_mm");
    expect(found?.value).toBeCloseTo(Math.hypot(300 / 200, 500 / 250), 10);
  });

  test("an angle is the one on the metal, not the one in the pixels", () => {
    // 45° on the metal: 200 px across and 250 px up are 1 mm each.
    const cone = mark("cone_flank", "s", { type: "angle", points: [[200, 250], [0, 0], [200, -250]] }); // prettier-ignore
    const found = measured([cone], profile(200, 250))(cone, "included_angle_deg");
    expect(found?.value).toBeCloseTo(90, 8);
    expect(found?.u).toBeGreaterThan(0);
  });

  test("a round wire drawn as the ellipse it looks is round, with its diameter", () => {
    const outline = mark("wire_outline", "s", { type: "ellipse", cx: 700, cy: 700, rx: 200, ry: 250, angle_deg: 0 });
    const at = measured([outline], profile(200, 250), { view: "end_on" });
    expect(at(outline, "d0_mm")?.value).toBeCloseTo(2, 8);
    expect(at(outline, "ovality_pct")?.value).toBeCloseTo(0, 6);
  });

  test("equal values in both directions measure as one value does", () => {
    const cone = mark("cone_flank", "s", { type: "angle", points: [[150, 250], [3, 4], [200, -250]] }); // prettier-ignore
    const one: ProfileScale = { method: "profile", profileId: "p", name: "2×", pxPerMm: { value: 200, u: 0 } };
    for (const key of ["included_angle_deg", "flank_angle_deg"])
      expect(measured([cone], profile(200, 200, 0))(cone, key)?.value).toBeCloseTo(
        Number(measured([cone], one)(cone, key)?.value),
        9,
      );
  });

  test("ends are compared with both directions, a common profile does not count twice", () => {
    const end = (id: string, height: number) =>
      endWith(
        [photograph(id, "side_0", { scale: profile(200, 202, 5) })],
        [mark("wire_outline", id, edges([0, 0], [900, 0], [0, height], [900, height]))],
      );
    const found = diameterDifferencePct(breakWith({ machine: end("a", 400), takeUp: end("b", 408) }));
    expect(found?.differencePct).toBeCloseTo(100 * (8 / 404), 8);
    expect(found?.u).toBeCloseTo(100 * Math.hypot(2 / 400, 2 / 408), 1);
  });
});

describe("stretching a shape", () => {
  test("an ellipse aslant goes through the stretched points of the first", () => {
    const first: Geometry = { type: "ellipse", cx: 10, cy: 20, rx: 30, ry: 12, angle_deg: 35 };
    const second = stretched(first, 1.3);
    if (second.type !== "ellipse") throw new Error("An ellipse must stay one.");
    const on = (t: number): [number, number] => {
      const [a, b, turn] = [30 * Math.cos(t), 12 * Math.sin(t), (35 * Math.PI) / 180];
      return [10 + a * Math.cos(turn) - b * Math.sin(turn), (20 + a * Math.sin(turn) + b * Math.cos(turn)) * 1.3];
    };
    for (let t = 0; t < 6; t += 0.7) {
      const [x, y] = on(t);
      const turn = (second.angle_deg * Math.PI) / 180;
      const u = ((x - second.cx) * Math.cos(turn) + (y - second.cy) * Math.sin(turn)) / second.rx;
      const v = (-(x - second.cx) * Math.sin(turn) + (y - second.cy) * Math.cos(turn)) / second.ry;
      expect(u * u + v * v).toBeCloseTo(1, 9);
    }
    expect(second.rx).toBeGreaterThan(second.ry);
  });
});

describe("the wire diameter against the scale", () => {
  const outline = mark("wire_outline", "s", edges([0, 0], [900, 0], [0, 400], [900, 400]));
  const checked = (scale: Scale, measuredDiameterMm: number | null, nominalDiameterMm: number | null = null) => {
    const end = endWith([photograph("s", "side_0", { scale, widthPx: 2000, heightPx: 1500 })], [outline]);
    const b = breakWith({ machine: end }, { measuredDiameterMm, measuredDiameterUMm: 0.005, nominalDiameterMm });
    return { check: checkAgainstWire(end, end.photographs[0]!, b), codes: measureWarnings(b).map((w) => w.code) };
  };

  test("agreement within two combined standard uncertainties is silent", () => {
    const { check, codes } = checked(profile(200, 200, 0.5), 2.01);
    expect(check).toMatchObject({ agrees: true, says: null, known: "measured" });
    expect(check?.differencePct).toBeCloseTo(-0.4975, 3);
    expect(codes).toEqual([]);
  });

  test("disagreement is said with both values; the limit is k = 2", () => {
    const u = Math.hypot(2 * Math.hypot(2 / 400 / Math.SQRT2, 0.5 / 200), 0.005);
    const { check, codes } = checked(profile(200, 200, 0.5), 2.1);
    expect(check?.agrees).toBe(false);
    expect(check?.inStandardUncertainties).toBeGreaterThan(0.1 / u / 1.5);
    expect(check?.says).toMatch(/the measured wire diameter is 2\.100? mm ± .*4\.8 % apart/);
    expect(codes).toEqual(["scale-disagrees-with-wire"]);
    expect(checked(profile(200, 200, 20), 2.1).check?.agrees).toBe(true);
  });

  test("a scale that was set by the wire proves nothing, and without a diameter there is no check", () => {
    const byWire = { method: "wire-diameter", diameterMm: { value: 2, u: 0 }, diameterPx: { value: 400, u: 0 }, markId: null } as const; // prettier-ignore
    expect(checked(byWire, 2.5).check).toBeNull();
    expect(checked(profile(200, 200), null).check).toBeNull();
    expect(checked(profile(200, 200), null, 2.08).check?.known).toBe("nominal");
  });
});

describe("warnings about a profile", () => {
  const codes = (patch: Partial<Photograph>, facts = {}) =>
    measureWarnings(breakWith({ machine: endWith([photograph("s", "side_0", { widthPx: 2000, heightPx: 1500, scale: profile(200, 200), ...patch })], []) }), facts); // prettier-ignore

  test("overdue when the photograph was taken is said even when the profile was read again since", () => {
    const profiles = [{ id: "p", name: "2×", dueAt: "2029-01-01" }];
    const late = codes({ capturedAt: "2027-02-01T10:00:00+01:00" }, { profiles, now: "2028-01-01T00:00:00Z" });
    expect(late.map((w) => w.code)).toEqual(["profile-overdue"]);
    expect(late[0]?.says).toContain("2027-01-10");
    expect(codes({ capturedAt: "2026-02-01T10:00:00" }, { profiles, now: "2028-01-01T00:00:00Z" })).toEqual([]);
  });

  test("overdue by now and not read again is said", () => {
    const profiles = [{ id: "p", name: "2×", dueAt: "2027-01-10" }];
    const now = "2028-01-01T00:00:00Z";
    expect(codes({ capturedAt: "2026-02-01T10:00:00" }, { profiles, now }).map((w) => w.code)).toEqual([
      "profile-overdue",
    ]);
  });

  test("a photograph of another pixel size is named", () => {
    expect(codes({ widthPx: 1000, heightPx: 750 }).map((w) => w.code)).toEqual(["profile-other-size"]);
  });
});
