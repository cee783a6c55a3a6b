import { describe, expect, it } from "vitest";
import { parseObservationSheets } from "../../model/break/observation-sheet.ts";
import { suggest } from "../../model/evidence/suggest.ts";
import { observeSheet } from "../../scripts/observe-sheet.ts";
import { BREAKS } from "../../scripts/render/breaks.ts";
import { buildBreak } from "../../scripts/render/render-break.ts";
import { observationSheet } from "../../scripts/render/sheet.ts";

const weighed = (number: string): ReturnType<typeof suggest> => {
  const demo = BREAKS.find((b) => b.look.number === number);
  if (!demo) throw new RangeError(`No demo break is numbered ${number}.`);
  const written: unknown = JSON.parse(JSON.stringify(observationSheet(demo, buildBreak(demo.look, 0.06))));
  const [sheet] = parseObservationSheets(written);
  if (!sheet) throw new RangeError(`The sheet of ${number} holds no break.`);
  return suggest(observeSheet(sheet));
};

describe("the evidence reads the true marks of a rendered break as what it is", () => {
  it.each(BREAKS.map((b) => [b.look.number, b.expected] as const))("%s is %s", (number, expected) => {
    expect(weighed(number).verdict).toBe(expected);
  });

  it("dates the burst with the draw to an even and the one against it to an odd number of reversals", () => {
    expect(weighed("D-003").origin?.reversals).toBe("even");
    expect(weighed("D-004").origin?.reversals).toBe("odd");
  });

  it("asks for more where it stays undecided", () => {
    for (const number of ["D-012", "D-013"]) expect(weighed(number).requests.length).toBeGreaterThan(0);
  });
});
