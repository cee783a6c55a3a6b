import sharp, { type Sharp } from "sharp";
import { beforeAll, describe, expect, test } from "vitest";
import { describeFace, FACE_NUMBERS } from "../../../../model/picture/face/describe-face.ts";
import type { OutlineEllipse } from "../../../../model/picture/face/disc.ts";
import { greyOf, type GreyImage } from "../../../../model/picture/pixels/grey.ts";
import sheet from "../../../../samples/D-005/sheet.json" with { type: "json" };

/** A rendered face of the demo mill, made smaller, with its true outline. */
const SIZE = { width: 800, height: 600 };
const photo = sheet.ends[0]!.photos.find((p) => p.view === "end_on")!;
const file = new URL(`../../../../samples/D-005/${photo.file}`, import.meta.url).pathname;
const shrink = SIZE.width / 2400;
const drawn = sheet.ends[0]!.features.find((f) => f.feature === "wire_outline" && f.photo === photo.file)!
  .geometry as OutlineEllipse;
const outline: OutlineEllipse = {
  ...drawn,
  cx: drawn.cx * shrink,
  cy: drawn.cy * shrink,
  rx: drawn.rx * shrink,
  ry: drawn.ry * shrink,
};

async function face(change: (s: Sharp) => Sharp = (s) => s): Promise<GreyImage> {
  const small = await sharp(file).resize(SIZE).removeAlpha().png().toBuffer();
  const { data, info } = await change(sharp(small)).ensureAlpha().raw().toBuffer({ resolveWithObject: true });
  return greyOf({ widthPx: info.width, heightPx: info.height, rgba: data });
}

let plain: Float32Array;
/** Typical spread of each number between the demo faces, so that a change is judged against what tells faces apart. */
const SPREAD = 0.1;
const apart = (a: Float32Array, b: Float32Array): number =>
  Math.sqrt(a.reduce((sum, v, k) => sum + ((v - b[k]!) / (SPREAD + Math.abs(v))) ** 2, 0) / a.length);

beforeAll(async () => {
  plain = describeFace(await face(), outline);
});

describe("a face in numbers", () => {
  test("every number is there and finite", () => {
    expect(plain.length).toBe(FACE_NUMBERS.length);
    expect(plain.every(Number.isFinite)).toBe(true);
    expect(new Set(FACE_NUMBERS.map((f) => f.name)).size).toBe(FACE_NUMBERS.length);
  });

  test("a quarter turn of the photograph changes nothing", async () => {
    const turned = describeFace(await face((s) => s.rotate(90)), {
      ...outline,
      cx: SIZE.height - outline.cy,
      cy: outline.cx,
      angle_deg: outline.angle_deg + 90,
    });
    expect(apart(plain, turned)).toBeLessThan(0.01);
  });

  test("a mirrored photograph changes nothing", async () => {
    const mirrored = describeFace(await face((s) => s.flop()), { ...outline, cx: SIZE.width - outline.cx });
    expect(apart(plain, mirrored)).toBeLessThan(0.01);
  });

  test("a turn by any angle, a smaller picture and another exposure change little", async () => {
    const large = await face((s) => s.resize({ width: 640, height: 480 }));
    const by = 640 / SIZE.width;
    const enlarged = describeFace(large, {
      ...outline,
      cx: outline.cx * by,
      cy: outline.cy * by,
      rx: outline.rx * by,
      ry: outline.ry * by,
    });
    expect(apart(plain, enlarged)).toBeLessThan(0.12);
    const darker = describeFace(await face((s) => s.linear(0.75, 0)), outline);
    expect(apart(plain, darker)).toBeLessThan(0.08);
    const square = await face((s) => s.extend({ top: 100, bottom: 100 }).rotate(31));
    const angle = (31 * Math.PI) / 180;
    const [dx, dy] = [outline.cx - SIZE.width / 2, outline.cy - SIZE.height / 2];
    const turned = describeFace(square, {
      ...outline,
      cx: square.widthPx / 2 + dx * Math.cos(angle) - dy * Math.sin(angle),
      cy: square.heightPx / 2 + dx * Math.sin(angle) + dy * Math.cos(angle),
      angle_deg: outline.angle_deg + 31,
    });
    expect(apart(plain, turned)).toBeLessThan(0.12);
  });

  test("another face is another set of numbers", async () => {
    const mid = { ...outline, cx: outline.cx + 0.5 * outline.rx, rx: outline.rx / 2, ry: outline.ry / 2 };
    expect(apart(plain, describeFace(await face(), mid))).toBeGreaterThan(0.3);
  });
});
