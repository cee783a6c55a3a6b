import { describe, expect, test } from "vitest";
import type { BreakContext } from "../../../model/break/wire-break.ts";
import { toUncertain } from "../../../model/measure/uncertain.ts";
import { wireDiameterMm } from "../../../model/measure/wire-frame.ts";
import { breakWith, endWith, mark } from "./a-break.ts";

const stated = (value: number, patch = {}) => mark("wire_outline", null, null, { given: { d0_mm: value }, ...patch });

function known(context: Partial<BreakContext>, marks: Parameters<typeof endWith>[1] = []) {
  const end = endWith([], marks);
  return wireDiameterMm(end, breakWith({ machine: end }, context), null);
}

describe("the wire diameter of an end", () => {
  test("is unknown when nothing says it", () => {
    expect(known({})).toBeNull();
  });

  test("comes from the stated outline before the measured one, and from that before the nominal one", () => {
    const context = { measuredDiameterMm: 2.01, nominalDiameterMm: 2 };
    expect(known(context, [stated(2.02)])?.source).toBe("given");
    expect(known(context)?.source).toBe("measured");
    expect(known({ nominalDiameterMm: 2 })?.source).toBe("nominal");
  });

  test("keeps its value, with the uncertainty its source deserves", () => {
    const value = (context: Partial<BreakContext>) => {
      const found = known(context);
      return found && toUncertain(found.diameterMm);
    };
    // Within 1 %, evenly: half the width over √3 (JCGM 100:2008, 4.3.7).
    expect(value({ nominalDiameterMm: 2 })).toEqual({ value: 2, u: 0.02 / Math.sqrt(3) });
    expect(value({ measuredDiameterMm: 2.01, measuredDiameterUMm: 0.004 })).toEqual({ value: 2.01, u: 0.004 });
    expect(value({ measuredDiameterMm: 2 })).toEqual({ value: 2, u: 0.01 });
  });

  test("says whether its uncertainty was stated", () => {
    expect(known({ measuredDiameterMm: 2 })?.from).toContain("not stated");
    expect(known({ measuredDiameterMm: 2, measuredDiameterUMm: 0 })?.from).not.toContain("not stated");
  });

  test.each([0, -2])("is not %d mm: the next source is asked", (wrong) => {
    expect(known({ measuredDiameterMm: wrong, nominalDiameterMm: 2 })?.source).toBe("nominal");
    expect(known({ nominalDiameterMm: wrong })).toBeNull();
    expect(known({ nominalDiameterMm: 2 }, [stated(wrong)])?.source).toBe("nominal");
  });

  test("does not come from an outline that is marked absent", () => {
    expect(known({ nominalDiameterMm: 2 }, [stated(2.02, { state: "absent" })])?.source).toBe("nominal");
  });
});
