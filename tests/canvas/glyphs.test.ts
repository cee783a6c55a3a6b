import { describe, expect, test } from "vitest";
import { BREAK_TYPE_IDS } from "../../model/evidence/break-type-ids.ts";
import { FEATURE_IDS } from "../../model/evidence/features.ts";
import { MARK_STATES } from "../../model/evidence/observations.ts";
import { FEATURE_GLYPHS, STATE_GLYPHS, TYPE_GLYPHS } from "../../web/canvas/glyphs.ts";

/** A glyph drawn in ink, one number 0–255 per pixel; `heightPx` 14 is the smallest size it is used at. */
function inked(data: string, gridWidth: number, heightPx: number, margin = 0): Uint8ClampedArray {
  const k = heightPx / 16;
  const canvas = new OffscreenCanvas(Math.ceil(gridWidth * k) + 2 * margin, heightPx + 2 * margin);
  const ctx = canvas.getContext("2d");
  if (ctx === null) throw new Error("This browser has no 2d canvas.");
  ctx.translate(margin, margin);
  ctx.scale(k, k);
  ctx.lineWidth = 1.5;
  ctx.lineCap = "round";
  ctx.lineJoin = "round";
  ctx.stroke(new Path2D(data));
  const rgba = ctx.getImageData(0, 0, canvas.width, canvas.height).data;
  return rgba.filter((_, i) => i % 4 === 3);
}

const sum = (a: Uint8ClampedArray): number => a.reduce((s, v) => s + v, 0);

const SETS = [
  { name: "feature", glyphs: FEATURE_GLYPHS, ids: FEATURE_IDS, width: 16 },
  { name: "break type", glyphs: TYPE_GLYPHS, ids: BREAK_TYPE_IDS, width: 32 },
  { name: "state", glyphs: STATE_GLYPHS, ids: MARK_STATES, width: 16 },
] as const;

describe.each(SETS)("the $name glyphs", ({ glyphs, ids, width }) => {
  const entries = Object.entries<string>(glyphs);

  test("there is one for each, and no other", () => {
    expect(Object.keys(glyphs).sort()).toEqual([...ids].sort());
  });

  test("each stays on its grid", () => {
    for (const [id, data] of entries) {
      const all = sum(inked(data, width, 32, 8));
      expect(all, id).toBeGreaterThan(0);
      expect(sum(inked(data, width, 32)) / all, id).toBeGreaterThan(0.995);
    }
  });

  test("at 14 px each leaves both ink and ground", () => {
    for (const [id, data] of entries) {
      const ink = inked(data, width, 14);
      const share = sum(ink) / 255 / ink.length;
      expect(share, id).toBeGreaterThan(0.06);
      expect(share, id).toBeLessThan(0.72);
    }
  });

  test("at 14 px no two look alike", () => {
    const drawn = entries.map(([id, data]) => [id, inked(data, width, 14)] as const);
    drawn.forEach(([idA, a], i) => {
      for (const [idB, b] of drawn.slice(i + 1)) {
        let differing = 0;
        for (let k = 0; k < a.length; k++) if (Math.abs((a[k] ?? 0) - (b[k] ?? 0)) > 96) differing++;
        expect(differing, `${idA} and ${idB}`).toBeGreaterThan(12);
      }
    });
  });
});
