import { createHash } from "node:crypto";
import exifr from "exifr";
import sharp from "sharp";
import { describe, expect, it } from "vitest";
import { BREAKS } from "../../scripts/render/breaks.ts";
import { exifSegment, withSegment } from "../../scripts/render/exif.ts";
import { buildBreak, frameShot, renderBreak, renderShot } from "../../scripts/render/render-break.ts";
import { observationSheet } from "../../scripts/render/sheet.ts";
import { storedPixels } from "../../scripts/render/stored.ts";

const SCALE = 0.06;
const hashOf = (rgb: Uint8Array): string => createHash("sha256").update(rgb).digest("hex");
const first = BREAKS[0]!;

describe("rendering is fixed by its seeds", () => {
  it("the same break gives the same pixels twice", () => {
    const once = [...renderBreak(first.look, { scale: SCALE })].map((r) => hashOf(r.pixels.rgb));
    const again = [...renderBreak(first.look, { scale: SCALE })].map((r) => hashOf(r.pixels.rgb));
    expect(again).toEqual(once);
    expect(new Set(once).size).toBe(once.length);
  });

  it("another seed gives another picture", () => {
    const shot = first.look.shots[0]!;
    const other = { ...first.look, seed: first.look.seed + 1 };
    const a = renderShot(first.look, buildBreak(first.look, SCALE), shot, { scale: SCALE, plain: true });
    const b = renderShot(other, buildBreak(other, SCALE), shot, { scale: SCALE, plain: true });
    expect(hashOf(b.pixels.rgb)).not.toBe(hashOf(a.pixels.rgb));
  });

  it("the word RENDERED is burned in, and can be left out for training pictures", () => {
    const shot = first.look.shots[0]!;
    const built = buildBreak(first.look, 0.25);
    const marked = renderShot(first.look, built, shot, { scale: 0.25 }).pixels;
    const plain = renderShot(first.look, built, shot, { scale: 0.25, plain: true }).pixels;
    let changed = 0;
    for (let y = marked.height - 30; y < marked.height; y++)
      for (let x = 0; x < 80; x++)
        if (marked.rgb[3 * (y * marked.width + x)] !== plain.rgb[3 * (y * marked.width + x)]) changed++;
    expect(changed).toBeGreaterThan(100);
  });
});

describe("the demo set", () => {
  it("covers the demanded breaks with three to five photographs each, at least 2400 px wide", () => {
    const verdicts = new Set(BREAKS.map((b) => b.expected));
    for (const type of [
      "tensile_overload",
      "central_burst",
      "casting_void",
      "inclusion",
      "weld_break",
      "torsion",
      "fatigue",
      "mechanical_damage",
      "surface_defect",
      "undetermined",
    ] as const)
      expect(verdicts).toContain(type);
    expect(BREAKS.length).toBeGreaterThanOrEqual(12);
    for (const b of BREAKS) {
      expect(b.look.shots.length).toBeGreaterThanOrEqual(3);
      expect(b.look.shots.length).toBeLessThanOrEqual(5);
      for (const s of b.look.shots) expect(frameShot(b.look, s, 1).width).toBeGreaterThanOrEqual(2400);
    }
  });

  it("draws every mark of a sheet inside its picture and names only filed photographs", () => {
    for (const demo of BREAKS) {
      const sheet = observationSheet(demo, buildBreak(demo.look, SCALE));
      const files = new Map(demo.look.shots.map((s) => [s.file, frameShot(demo.look, s, 1)]));
      const ends = sheet["ends"] as { features: { photo?: string; geometry?: { points?: [number, number][] } }[] }[];
      let drawn = 0;
      for (const end of ends)
        for (const f of end.features) {
          if (f.photo === undefined) continue;
          const frame = files.get(f.photo);
          expect(frame, `${demo.look.number} ${f.photo}`).toBeDefined();
          for (const [x, y] of f.geometry?.points ?? []) {
            drawn++;
            expect(x).toBeGreaterThan(-1);
            expect(y).toBeGreaterThan(-1);
            expect(x).toBeLessThan(frame!.width + 1);
            expect(y).toBeLessThan(frame!.height + 1);
          }
        }
      expect(drawn).toBeGreaterThan(0);
    }
  });
});

describe("a written photograph", () => {
  it.each([1, 3, 6, 8] as const)(
    "orientation %i is put upright again by a reader of the camera data",
    async (orientation) => {
      const shot = first.look.shots[0]!;
      const { pixels } = renderShot(first.look, buildBreak(first.look, SCALE), shot, { scale: SCALE });
      const stored = storedPixels(pixels, orientation);
      const raw = { width: stored.width, height: stored.height, channels: 3 as const };
      const jpeg = await sharp(stored.rgb, { raw }).jpeg({ quality: 95, chromaSubsampling: "4:4:4" }).toBuffer();
      const words = {
        description: "Rendered",
        software: "Endpair render-samples",
        taken: "2026-03-02T08:41:10",
        offset: "+01:00",
        orientation,
      };
      const file = Buffer.from(withSegment(jpeg, exifSegment(words)));
      const read = (await exifr.parse(file, { translateValues: false, reviveValues: false })) as Record<
        string,
        unknown
      >;
      expect(read["ImageDescription"]).toBe("Rendered");
      expect(read["Software"]).toBe("Endpair render-samples");
      expect(read["Orientation"]).toBe(orientation);
      expect(read["DateTimeOriginal"]).toBe("2026:03:02 08:41:10");
      expect(read["OffsetTimeOriginal"]).toBe("+01:00");
      const upright = await sharp(file).rotate().removeAlpha().raw().toBuffer({ resolveWithObject: true });
      expect([upright.info.width, upright.info.height]).toEqual([pixels.width, pixels.height]);
      let off = 0;
      for (let i = 0; i < pixels.rgb.length; i++) off += Math.abs(upright.data[i]! - pixels.rgb[i]!);
      expect(off / pixels.rgb.length).toBeLessThan(4);
    },
  );
});
