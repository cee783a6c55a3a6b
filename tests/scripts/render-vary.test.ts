import { createHash } from "node:crypto";
import { describe, expect, it } from "vitest";
import type { Point } from "../../model/break/geometry.ts";
import { parseObservationSheets } from "../../model/break/observation-sheet.ts";
import { BREAK_TYPE_IDS } from "../../model/evidence/break-type-ids.ts";
import { FACE } from "../../scripts/render/end-surface.ts";
import type { BuiltBreak, RenderedShot } from "../../scripts/render/render-break.ts";
import { buildBreak, renderShot } from "../../scripts/render/render-break.ts";
import { observationSheet } from "../../scripts/render/sheet.ts";
import { areaOf, silhouette } from "../../scripts/render/vary/silhouette.ts";
import type { SplitId } from "../../scripts/render/vary/splits.ts";
import { SPLITS, splitOf } from "../../scripts/render/vary/splits.ts";
import type { PictureTruth } from "../../scripts/render/vary/truth.ts";
import { pictureTruth } from "../../scripts/render/vary/truth.ts";
import type { VariedBreak } from "../../scripts/render/vary/varied-break.ts";
import { variedBreak } from "../../scripts/render/vary/varied-break.ts";

const SCALE = 0.06;

interface Made {
  readonly b: VariedBreak;
  readonly built: BuiltBreak;
  readonly pictures: readonly { readonly shot: RenderedShot; readonly truth: PictureTruth }[];
}

function make(seed: number, scale = SCALE): Made {
  const b = variedBreak(seed);
  const built = buildBreak(b.look, scale);
  const pictures = b.look.shots.map((s) => {
    const shot = renderShot(b.look, built, s, { scale, plain: true });
    return { shot, truth: pictureTruth(b, built, shot) };
  });
  return { b, built, pictures };
}

/** One break of every type. */
const made = Array.from({ length: BREAK_TYPE_IDS.length }, (_, i) => make(1 + i));
const views = made.flatMap((m) => m.pictures.map((p) => ({ ...p, b: m.b })));
const sides = views.filter((v) => v.truth.view !== "end_on");

const hashOf = (m: Made): string =>
  createHash("sha256")
    .update(m.pictures.map((p) => createHash("sha256").update(p.shot.pixels.rgb).digest("hex")).join(" "))
    .update(JSON.stringify(m.pictures.map((p) => p.truth)))
    .digest("hex");

describe("a varied break is fixed by its seed", () => {
  it("the same seed gives the same pixels and the same truth, another seed others", () => {
    const once = hashOf(made[3]!);
    expect(hashOf(make(4))).toBe(once);
    expect(hashOf(make(4 + BREAK_TYPE_IDS.length))).not.toBe(once);
  });

  it("the types take turns, so every run of seeds is balanced", () => {
    for (const id of Object.keys(SPLITS) as SplitId[]) {
      const first = BREAK_TYPE_IDS.map((_, i) => variedBreak(SPLITS[id].first + i).type);
      expect(new Set(first).size).toBe(BREAK_TYPE_IDS.length);
    }
  });

  it("the type, the light and the ground can be asked for", () => {
    const b = variedBreak(12, { type: "fatigue", lights: "dome", ground: "black" });
    expect([b.type, b.expected, b.lights, b.ground]).toEqual(["fatigue", "fatigue", "dome", "black"]);
  });

  it("refuses a seed of no split", () => {
    expect(() => variedBreak(4000)).toThrow(RangeError);
  });
});

describe("the splits are held apart", () => {
  const ids = Object.keys(SPLITS) as SplitId[];
  const pairs = ids.flatMap((a, i) => ids.slice(i + 1).map((b) => [a, b] as const));

  it.each(pairs)("%s and %s share no seed", (a, b) => {
    expect(SPLITS[a].last < SPLITS[b].first || SPLITS[b].last < SPLITS[a].first).toBe(true);
    expect(splitOf(SPLITS[a].first)).toBe(a);
    expect(splitOf(SPLITS[b].last)).toBe(b);
  });

  it.each([
    ["propose-dev", "propose-held-out"],
    ["propose-dev", "model-test"],
    ["model-train", "propose-held-out"],
    ["model-train", "model-test"],
    ["propose-held-out", "model-test"],
  ] as const)("%s shows no light and no ground of %s", (a, b) => {
    expect(SPLITS[a].lights.filter((x) => (SPLITS[b].lights as readonly string[]).includes(x))).toEqual([]);
    expect(SPLITS[a].grounds.filter((x) => (SPLITS[b].grounds as readonly string[]).includes(x))).toEqual([]);
  });

  it.each(ids)("breaks of %s keep to its lights and grounds", (id) => {
    for (let n = 0; n < 60; n++) {
      const b = variedBreak(SPLITS[id].first + n);
      expect(b.split).toBe(id);
      expect(SPLITS[id].lights).toContain(b.lights);
      expect(SPLITS[id].grounds).toContain(b.ground);
    }
  });
});

/** Intersection over union of an ellipse with a coverage; the renderer covers an end up to half a pixel inside its edge. */
function overlap(g: PictureTruth["seenOutline"], shot: RenderedShot): number {
  if (g?.type !== "ellipse") throw new RangeError("No ellipse.");
  const a = (g.angle_deg * Math.PI) / 180;
  let both = 0;
  let any = 0;
  for (let y = 0; y < shot.frame.height; y++)
    for (let x = 0; x < shot.frame.width; x++) {
      const dx = x + 0.5 - g.cx;
      const dy = y + 0.5 - g.cy;
      const u = (dx * Math.cos(a) + dy * Math.sin(a)) / (g.rx - 0.5);
      const v = (-dx * Math.sin(a) + dy * Math.cos(a)) / (g.ry - 0.5);
      const inside = Math.min(1, Math.max(0, 0.5 + (1 - Math.hypot(u, v)) * g.rx));
      const cover = shot.cover[y * shot.frame.width + x]!;
      both += Math.min(inside, cover);
      any += Math.max(inside, cover);
    }
  return both / any;
}

describe("the truth of an end-on picture lies on its pixels", () => {
  const ends = views.filter((v) => v.truth.view === "end_on");

  it("the ellipse of what is seen covers what was rendered", () => {
    for (const { truth, shot, b } of ends)
      expect(overlap(truth.seenOutline, shot), `${b.type} ${truth.file}`).toBeGreaterThan(0.97);
  });

  it("the ellipse of the sound wire does too, where no bead or band hides it", () => {
    const plain = ends.filter((v) => v.truth.outline !== null);
    expect(plain.length).toBeGreaterThan(20);
    for (const { truth, shot, b } of plain)
      expect(overlap(truth.outline, shot), `${b.type} ${truth.file}`).toBeGreaterThan(0.97);
  });

  it("the ends are rolled to any angle", () => {
    expect(new Set(ends.map((v) => Math.floor(v.truth.turnDeg / 90))).size).toBe(4);
  });

  it("a hole lies inside its wire, on the ends that have one alone", () => {
    const holes = ends.filter((v) => v.truth.hole);
    expect(holes.map((v) => v.b.type).sort()).toEqual(["casting_void", "casting_void", "central_burst", "inclusion"]);
    for (const { truth } of holes)
      for (const [x, y] of truth.hole!.polygon) {
        const e = truth.seenOutline;
        if (e?.type !== "ellipse") throw new RangeError("No ellipse.");
        expect(Math.hypot(x - e.cx, y - e.cy)).toBeLessThan(Math.min(e.rx, e.ry));
      }
  });

  it("a cavity is darker than the metal round it", () => {
    for (const { truth, shot } of ends.filter((v) => v.truth.hole?.kind === "cavity")) {
      const { polygon } = truth.hole!;
      const cx = polygon.reduce((s, p) => s + p[0], 0) / polygon.length;
      const cy = polygon.reduce((s, p) => s + p[1], 0) / polygon.length;
      const at = (x: number, y: number): number =>
        shot.pixels.rgb[3 * (Math.floor(y) * shot.frame.width + Math.floor(x)) + 1]!;
      const metal = polygon.map(([x, y]) => at(cx + (x - cx) * 1.25, cy + (y - cy) * 1.25));
      expect(at(cx, cy)).toBeLessThan(0.6 * (metal.reduce((a, b) => a + b, 0) / metal.length));
    }
  });
});

/** Distance of a place from a closed line. */
function distance([x, y]: Point, ring: readonly Point[]): number {
  let best = Infinity;
  ring.forEach(([ax, ay], i) => {
    const [bx, by] = ring[(i + 1) % ring.length]!;
    const len2 = (bx - ax) ** 2 + (by - ay) ** 2 || 1e-9;
    const t = Math.min(1, Math.max(0, ((x - ax) * (bx - ax) + (y - ay) * (by - ay)) / len2));
    best = Math.min(best, Math.hypot(x - ax - t * (bx - ax), y - ay - t * (by - ay)));
  });
  return best;
}

describe("the truth of a side view lies on its pixels, however the wire is turned", () => {
  it("wires are turned to every quarter", () => {
    expect(new Set(sides.map((v) => Math.floor((((v.truth.turnDeg % 360) + 360) % 360) / 90))).size).toBe(4);
  });

  it("the edges of the sound wire lie on its silhouette", () => {
    for (const { truth, b } of sides) {
      if (truth.edges?.type !== "edges") throw new RangeError(`${truth.file} has no edges.`);
      for (const p of truth.edges.points)
        expect(distance(p, truth.silhouette), `${b.type} ${truth.file} ${String(p)}`).toBeLessThan(1.2);
    }
  });

  it("both ends of the neck line lie on it too", () => {
    for (const { truth, b } of sides.filter((v) => v.truth.neck && v.b.type !== "bending")) {
      const line = truth.neck!.line;
      if (line.type !== "line") throw new RangeError("No line.");
      for (const p of line.points) expect(distance(p, truth.silhouette), `${b.type} ${truth.file}`).toBeLessThan(2.2);
    }
  });

  it("the silhouette has the area that the wire covers", () => {
    for (const { truth, shot } of views) {
      const covered = shot.cover.reduce((a, c) => a + c, 0);
      expect(Math.abs(Math.abs(areaOf(truth.silhouette)) / covered - 1), truth.file).toBeLessThan(0.05);
    }
  });

  it("the break is wholly in the picture and the wire leaves it on the other side", () => {
    for (const { truth, b } of sides) {
      const [dx, dy] = truth.axis!.towardBreak;
      const [ax, ay] = truth.axis!.at;
      const border = ([x, y]: Point): number => Math.min(x, y, truth.width - x, truth.height - y);
      const ahead = truth.silhouette.filter(([x, y]) => (x - ax) * dx + (y - ay) * dy > 0);
      for (const p of ahead) expect(border(p), `${b.type} ${truth.file}`).toBeGreaterThan(0.5);
      const behind = truth.silhouette.filter(([x, y]) => (x - ax) * dx + (y - ay) * dy < 0);
      expect(behind.filter((p) => border(p) < 0.2).length, `${b.type} ${truth.file}`).toBeGreaterThanOrEqual(1);
    }
  });

  it("the tip of a standing cone is its highest place", () => {
    const cones = sides.filter((v) => v.truth.cone);
    expect(cones.length).toBeGreaterThan(0);
    for (const { truth } of cones) expect(distance(truth.cone!.apex, truth.silhouette)).toBeLessThan(2.5);
  });
});

describe("varied breaks keep what the renderer promises", () => {
  it("both ends mate unless they melted", () => {
    for (const { b, built } of made.filter((m) => !m.b.look.takeUpFace)) {
      const { machine, takeUp } = { machine: built.ends.machine.surface, takeUp: built.ends.takeUp.surface };
      let worst = -Infinity;
      for (let j = 0; j < machine.n; j++)
        for (let i = 0; i < machine.n; i++) {
          const at = j * machine.n + i;
          const mirrored = j * machine.n + (machine.n - 1 - i);
          if (machine.kind[at] === FACE && takeUp.kind[mirrored] === FACE)
            worst = Math.max(worst, machine.face[at]! + takeUp.face[mirrored]!);
        }
      expect(worst, b.type).toBeLessThan(1e-5);
    }
  });

  it("writes sheets that are read back, with marks inside their pictures and the scale of the pictures", () => {
    for (const { b, built, pictures } of made) {
      const written: unknown = JSON.parse(JSON.stringify(observationSheet(b, built, SCALE)));
      const [sheet] = parseObservationSheets(written);
      const photos = sheet!.ends.flatMap((e) => e.photos);
      for (const { truth } of pictures) {
        expect(photos.find((p) => p.file === truth.file)?.px_per_mm).toBeCloseTo(truth.pxPerMm, 2);
        for (const f of sheet!.ends.flatMap((e) => e.features)) {
          if (f.photo !== truth.file || !f.geometry || f.geometry.type === "ellipse") continue;
          for (const [x, y] of f.geometry.points) {
            expect(x, `${b.type} ${f.feature}`).toBeGreaterThan(-2);
            expect(y, `${b.type} ${f.feature}`).toBeGreaterThan(-2);
            expect(x, `${b.type} ${f.feature}`).toBeLessThan(truth.width + 2);
            expect(y, `${b.type} ${f.feature}`).toBeLessThan(truth.height + 2);
          }
        }
      }
    }
  });
});

describe("a silhouette", () => {
  const disc = (r: number, w: number, h: number, cx: number, cy: number): Float32Array =>
    Float32Array.from({ length: w * h }, (_, i) =>
      Math.min(1, Math.max(0, r + 0.5 - Math.hypot((i % w) + 0.5 - cx, Math.floor(i / w) + 0.5 - cy))),
    );

  it("of a disc has its radius all round", () => {
    for (const [x, y] of silhouette(disc(30, 80, 70, 41.3, 33.8), 80, 70))
      expect(Math.hypot(x - 41.3, y - 33.8)).toBeCloseTo(30, 0);
  });

  it("runs along the picture's edge where the wire leaves it, and leaves out small specks", () => {
    const cover = disc(30, 80, 70, 0, 35);
    cover[70] = 1;
    const ring = silhouette(cover, 80, 70);
    expect(Math.min(...ring.map((p) => p[0]))).toBe(0);
    expect(Math.max(...ring.map((p) => p[0]))).toBeCloseTo(30, 0);
  });

  it("of nothing is empty", () => {
    expect(silhouette(new Float32Array(12), 4, 3)).toEqual([]);
  });
});
