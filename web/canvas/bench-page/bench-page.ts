import type { Geometry } from "../../../model/break/geometry.ts";
import { FEATURE_IDS } from "../../../model/evidence/features.ts";
import { MARK_STATES } from "../../../model/evidence/observations.ts";
import { EndStage } from "../end-stage.ts";
import { FEATURE_GLYPHS } from "../glyphs.ts";
import type { DrawnMark } from "../types.ts";

const WIDTH_PX = 6000;
const HEIGHT_PX = 4000;

/** Numbers in [0, 1) that are the same at every run (a linear congruential sequence; constants from memory of Numerical Recipes). */
function sequence(seed: number): () => number {
  let state = seed;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 2 ** 32;
  };
}

/** A picture of 24 megapixels with its halves: stripes like drawn metal and some specks. */
async function levels(next: () => number): Promise<ImageBitmap[]> {
  const canvas = new OffscreenCanvas(WIDTH_PX, HEIGHT_PX);
  const ctx = canvas.getContext("2d");
  if (ctx === null) throw new Error("This browser has no 2d canvas.");
  for (let y = 0; y < HEIGHT_PX; y += 4) {
    const light = 90 + Math.round(70 * next());
    ctx.fillStyle = `rgb(${light + 40}, ${light + 15}, ${light - 10})`;
    ctx.fillRect(0, y, WIDTH_PX, 4);
  }
  for (let i = 0; i < 3000; i++) {
    ctx.fillStyle = next() > 0.5 ? "#222" : "#ddd";
    ctx.fillRect(next() * WIDTH_PX, next() * HEIGHT_PX, 6, 6);
  }
  const made: ImageBitmap[] = [await createImageBitmap(canvas)];
  for (let level = 1; level < 4; level++)
    made.push(await createImageBitmap(canvas, { resizeWidth: WIDTH_PX >> level, resizeHeight: HEIGHT_PX >> level }));
  return made;
}

function geometry(i: number, next: () => number): Geometry {
  const x = next() * WIDTH_PX;
  const y = next() * HEIGHT_PX;
  const near = (): [number, number] => [x + (next() - 0.5) * 300, y + (next() - 0.5) * 300];
  switch (i % 6) {
    case 0:
      return { type: "point", points: [[x, y]] };
    case 1:
      return { type: "line", points: [near(), near()] };
    case 2:
      return { type: "polyline", points: Array.from({ length: 12 }, near) };
    case 3:
      return { type: "polygon", points: Array.from({ length: 8 }, near) };
    case 4:
      return { type: "ellipse", cx: x, cy: y, rx: 40 + next() * 120, ry: 30 + next() * 80, angle_deg: next() * 180 };
    default:
      return { type: "angle", points: [near(), [x, y], near()] };
  }
}

function marks(count: number, next: () => number): DrawnMark[] {
  return Array.from({ length: count }, (_, i): DrawnMark => {
    const feature = FEATURE_IDS[i % FEATURE_IDS.length] ?? "wire_outline";
    return {
      id: `mark-${i}`,
      geometry: geometry(i, next),
      glyph: FEATURE_GLYPHS[feature],
      label: feature.replaceAll("_", " "),
      measureText: i % 3 === 0 ? `${(next() * 2).toFixed(2)} ± 0.02 mm` : null,
      tone: i % 17 === 0 ? "proposal" : "plain",
      state: MARK_STATES[i % 7 === 0 ? 1 : i % 11 === 0 ? 2 : 0],
    };
  });
}

/** Result of one run; times in milliseconds. */
export interface FrameTimes {
  readonly marks: number;
  readonly frames: number;
  readonly framesPerSecond: number;
  readonly medianMs: number;
  readonly p95Ms: number;
}

/** Pans and zooms by real pointer and wheel events, one step a frame, and times the frames. */
async function measure(stage: EndStage, container: HTMLDivElement, count: number, frames: number): Promise<FrameTimes> {
  const nextFrame = (): Promise<number> => new Promise((done) => requestAnimationFrame(done));
  const pointer = (type: string, x: number, y: number) =>
    container.dispatchEvent(
      new PointerEvent(type, { bubbles: true, pointerId: 1, button: 0, clientX: x, clientY: y, cancelable: true }),
    );
  stage.fit();
  for (let i = 0; i < 10; i++) await nextFrame();
  const times: number[] = [];
  let last = await nextFrame();
  pointer("pointerdown", 640, 400);
  for (let i = 0; i < frames; i++) {
    const isZooming = Math.floor(i / 30) % 2 === 1;
    if (isZooming)
      container.dispatchEvent(
        new WheelEvent("wheel", { deltaY: Math.floor(i / 60) % 4 < 2 ? -40 : 40, clientX: 500, clientY: 350, cancelable: true }), // prettier-ignore
      );
    else pointer("pointermove", 640 + 200 * Math.sin(i / 15), 400 + 120 * Math.cos(i / 11));
    const now = await nextFrame();
    times.push(now - last);
    last = now;
  }
  pointer("pointerup", 640, 400);
  const sorted = [...times].sort((a, b) => a - b);
  const at = (share: number): number => sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))] ?? 0;
  const total = times.reduce((sum, t) => sum + t, 0);
  return { marks: count, frames, framesPerSecond: (1000 * frames) / total, medianMs: at(0.5), p95Ms: at(0.95) };
}

/** Runs the measurement named in the address: `?marks=500&frames=240`; the result is JSON in `#result`. */
async function run(): Promise<void> {
  const asked = new URLSearchParams(location.search);
  const count = Number(asked.get("marks") ?? 500);
  const frames = Number(asked.get("frames") ?? 240);
  const container = document.querySelector<HTMLDivElement>("#stage");
  const result = document.querySelector<HTMLOutputElement>("#result");
  if (container === null || result === null) throw new Error("The bench page has lost its elements.");
  const next = sequence(20);
  const none = () => undefined;
  const stage = new EndStage(
    container,
    { onDrawn: none, onReshaped: none, onSelect: none, fitEllipse: () => null },
    { label: "Frames with marks" },
  );
  stage.setPicture({ levels: await levels(next), widthPx: WIDTH_PX, heightPx: HEIGHT_PX });
  stage.setTurn(asked.has("turn") ? Number(asked.get("turn")) : 0);
  stage.setMarks(marks(count, next));
  stage.setScaleBar({ pxPerMm: 800, unit: "mm" });
  result.value = JSON.stringify(await measure(stage, container, count, frames));
  result.dataset["done"] = "true";
}

await run();
