import { afterEach, describe, expect, test } from "vitest";
import type { FaceOutline } from "../../model/picture/mating/flat-face.ts";
import { MatingError } from "../../model/picture/mating/mating-error.ts";
import { createFacesClient, type FacesClient } from "../../web/workers/faces-client.ts";
import { SHOWN_FACE_PX, type FaceFile } from "../../web/workers/faces-protocol.ts";

const SIZE = 420;
const OUTLINE: FaceOutline = { cx: SIZE / 2, cy: SIZE / 2, rx: 190, ry: 190, angle_deg: 0 };

let client: FacesClient | null = null;
const open = (): FacesClient => (client = createFacesClient());
afterEach(() => {
  client?.close();
  client = null;
});

/** A face of bright and dark grains at places a number decides, turned and mirrored as asked; no grains = one grey. */
async function face(grains: number, seed: number, { turnDeg = 0, mirrored = false } = {}): Promise<FaceFile> {
  const canvas = new OffscreenCanvas(SIZE, SIZE);
  const context = canvas.getContext("2d")!;
  context.fillStyle = "rgb(128 128 128)";
  context.fillRect(0, 0, SIZE, SIZE);
  context.translate(SIZE / 2, SIZE / 2);
  context.scale(mirrored ? -1 : 1, 1);
  context.rotate((turnDeg * Math.PI) / 180);
  let state = seed;
  const next = (): number => (state = (state * 16807) % 2147483647) / 2147483647;
  for (let i = 0; i < grains; i++) {
    const grey = 40 + 180 * next();
    context.fillStyle = `rgb(${grey} ${grey} ${grey})`;
    context.fillRect(SIZE * (next() - 0.5), SIZE * (next() - 0.5), 3 + 9 * next(), 3 + 9 * next());
  }
  return { blob: await canvas.convertToBlob({ type: "image/png" }), shown: {}, outline: OUTLINE };
}

describe("faces compared in a thread of their own", () => {
  test("one face and its mirror image, turned: laid back, with shares of the work told", async () => {
    const parts: number[] = [];
    const machine = await face(4000, 7);
    const takeUp = await face(4000, 7, { turnDeg: 30, mirrored: true });
    const found = await open().compare({ machine, takeUp, start: null }, { onPart: (part) => parts.push(part) });
    expect(found.says).toBe("belong-together");
    expect(Math.abs(found.laying.turnDeg - 330)).toBeLessThan(0.5);
    expect(parts.length).toBeGreaterThan(3);
    expect([...parts].sort((a, b) => a - b)).toEqual(parts);
  });

  test("a blank face is refused in words, and the next request is answered", async () => {
    const faces = open();
    const [machine, blank] = [await face(4000, 7), await face(0, 1)];
    const refused = await faces.compare({ machine, takeUp: blank, start: null }).catch((error: unknown) => error);
    expect(refused).toBeInstanceOf(MatingError);
    expect(refused).toMatchObject({ code: "blank" });
    const cut = await faces.cut({ face: machine, mirrored: false });
    expect([cut.width, cut.height]).toEqual([SHOWN_FACE_PX, SHOWN_FACE_PX]);
    cut.close();
  });

  test("stopped: the promise ends as cancelled", async () => {
    const faces = open();
    const stop = new AbortController();
    const [machine, takeUp] = [await face(500, 7), await face(500, 8)];
    const asked = faces.compare({ machine, takeUp, start: null }, { signal: stop.signal });
    stop.abort();
    await expect(asked).rejects.toMatchObject({ code: "cancelled" });
  });
});
