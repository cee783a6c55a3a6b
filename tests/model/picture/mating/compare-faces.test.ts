import { describe, expect, it } from "vitest";
import { compareFaces, seenFromBack } from "../../../../model/picture/mating/compare-faces.ts";
import type { FacePicture } from "../../../../model/picture/mating/flat-face.ts";
import { MatingError } from "../../../../model/picture/mating/mating-error.ts";
import { REFERENCE, standing } from "../../../../model/picture/mating/reference-pairs.ts";
import { renderedFaces, turned } from "./rendered-faces.ts";

const burst = renderedFaces("D-004");
const apart = (a: number, b: number): number => Math.abs(((a - b + 540) % 360) - 180);

describe("faces of one break laid over each other", () => {
  const straight = compareFaces(burst.machine, burst.takeUp);

  it("belong together, and lie as they were rendered", () => {
    expect(straight.says).toBe("belong-together");
    expect(apart(straight.laying.turnDeg, 0)).toBeLessThan(2);
    expect(Math.hypot(...straight.laying.shiftD)).toBeLessThan(0.01);
    expect(Math.abs(straight.laying.scale - 1)).toBeLessThan(0.015);
  });

  // Turning the take-up end clockwise in its picture turns its mirror image anticlockwise; it is turned back clockwise.
  const takeUp = turned(burst.takeUp, 137, (v) => 0.8 * v);
  const there = compareFaces(burst.machine, takeUp);

  it("turned and darker: the turn within 2°, the same answer", () => {
    expect(there.says).toBe("belong-together");
    expect(apart(there.laying.turnDeg, 137)).toBeLessThan(2);
    // Turning a picture made of pixels blurs it a little.
    expect(Math.abs(there.score - straight.score)).toBeLessThan(0.06);
  });

  it("darker and flatter: the same score within 0.02", () => {
    const darker = compareFaces(
      turned(burst.machine, 0, (v) => 8 + 0.7 * v),
      burst.takeUp,
    );
    expect(Math.abs(darker.score - straight.score)).toBeLessThan(0.02);
    expect(apart(darker.laying.turnDeg, 0)).toBeLessThan(2);
  });

  it("exchanged: the inverse laying, the same score within 0.02", () => {
    const one = there;
    const other = compareFaces(takeUp, burst.machine);
    expect(Math.abs(one.score - other.score)).toBeLessThan(0.02);
    expect(apart(one.laying.turnDeg, other.laying.turnDeg)).toBeLessThan(1e-6);
    expect(one.laying.scale * other.laying.scale).toBeCloseTo(1, 9);
    const { turnDeg, scale, shiftD } = one.laying;
    const back = seenFromBack({ turnDeg, scale, dx: shiftD[0], dy: shiftD[1] });
    expect(other.laying.shiftD[0]).toBeCloseTo(back.dx, 9);
    expect(other.laying.shiftD[1]).toBeCloseTo(back.dy, 9);
  });

  it("from a place laid by hand it finds the same", () => {
    const start = { turnDeg: 4, scale: 1, shiftD: [0.01, 0] as const };
    const found = compareFaces(burst.machine, burst.takeUp, { start });
    expect(apart(found.laying.turnDeg, straight.laying.turnDeg)).toBeLessThan(0.5);
    expect(found.says).toBe("belong-together");
  });
});

describe("faces of two breaks", () => {
  it("of one kind do not fit", () => {
    const found = compareFaces(burst.machine, renderedFaces("D-003").takeUp);
    expect(found.says).toBe("do-not-fit");
    expect(found.why).not.toBe("");
  });
});

describe("faces that cannot be compared are refused in words", () => {
  const even = (face: FacePicture): FacePicture => ({
    ...face,
    raster: { ...face.raster, rgba: new Uint8ClampedArray(face.raster.rgba.length).fill(128) },
  });
  const refusal = (machine: FacePicture): MatingError => {
    try {
      compareFaces(machine, burst.takeUp);
    } catch (error) {
      if (error instanceof MatingError) return error;
      throw error;
    }
    throw new Error("It was not refused.");
  };

  it.each([
    ["no-outline", { ...burst.machine, outline: { ...burst.machine.outline, rx: 0 } }, /outline/],
    ["no-outline", { ...burst.machine, outline: { ...burst.machine.outline, cx: NaN } }, /outline/],
    ["too-small", { ...burst.machine, outline: { ...burst.machine.outline, rx: 30, ry: 30 } }, /60 px across/],
    ["outside", { ...burst.machine, outline: { ...burst.machine.outline, cx: -10 } }, /outside/],
    ["blank", even(burst.machine), /one even grey/],
  ] as const)("%s", (code, machine, words) => {
    const error = refusal(machine);
    expect(error.code).toBe(code);
    expect(error.message).toMatch(words);
    expect(error.nextStep).toMatch(/[a-z]+.*\.$/);
  });

  it("a face out of focus is not called a stranger", () => {
    const soft = blurred(burst.takeUp, 9);
    expect(compareFaces(burst.machine, soft).says).toBe("cannot-tell");
  });
});

/** A picture as out of focus as a mean over squares makes it. */
function blurred({ raster, outline }: FacePicture, reach: number): FacePicture {
  const { widthPx, heightPx } = raster;
  let rgba = Float32Array.from(raster.rgba);
  for (const [step, length, lines, next] of [
    [4, widthPx, heightPx, 4 * widthPx],
    [4 * widthPx, heightPx, widthPx, 4],
  ] as const) {
    const out = rgba.slice();
    for (let line = 0; line < lines; line++)
      for (let i = 0; i < length; i++)
        for (let c = 0; c < 3; c++) {
          let sum = 0;
          for (let k = -reach; k <= reach; k++)
            sum += rgba[line * next + Math.min(length - 1, Math.max(0, i + k)) * step + c]!;
          out[line * next + i * step + c] = sum / (2 * reach + 1);
        }
    rgba = out;
  }
  return { raster: { widthPx, heightPx, rgba: Uint8ClampedArray.from(rgba) }, outline };
}

describe("where a score stands among the known pairs", () => {
  it("counts the mates below and the strangers at or above, and all pairs at the ends", () => {
    expect(standing(1)).toMatchObject({ strangersReach: REFERENCE.strangers.counts.at(-1) });
    expect(standing(0)).toMatchObject({ matesBelow: 0, strangersReach: REFERENCE.strangers.total });
    for (const { counts, total } of [REFERENCE.mates, REFERENCE.strangers])
      expect(counts.reduce((a, b) => a + b, 0)).toBe(total);
    for (let score = 0; score < 1; score += 0.05) {
      expect(standing(score + 0.05).matesBelow).toBeGreaterThanOrEqual(standing(score).matesBelow);
      expect(standing(score + 0.05).strangersReach).toBeLessThanOrEqual(standing(score).strangersReach);
    }
  });
});
