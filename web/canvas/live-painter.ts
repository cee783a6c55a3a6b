import type { Point } from "../../model/break/geometry.ts";
import type { Handle } from "./handles.ts";
import { CORE_WHITE, HALO, TONE_LOOK } from "./palette.ts";
import { linesOf, paintLines } from "./paint-lines.ts";
import { paintPicture } from "./paint-picture.ts";
import { stagePoint, toStage, toStageStep, type Frame, type PhotoPoint, type StagePoint } from "./transform.ts";
import type { AxisLine, Picture } from "./types.ts";
import type { DraftLook } from "./draft.ts";

const HANDLE_PX = 9;
const LOUPE_RADIUS = 66;
const LOUPE_FACTOR = 4;
const LOUPE_OFFSET = 96;

/** What the live layer shows besides the picture and its marks. */
export interface LiveLook {
  readonly draft: DraftLook | null;
  /** Keyboard cursor, photograph pixels. */
  readonly cursor: Point | null;
  readonly handles: readonly Handle[];
  readonly focusedHandle: number | null;
  /** Where the magnifier looks; null shows none. */
  readonly loupeAt: Point | null;
  readonly hasFocusRing: boolean;
}

/** Strokes a path dark and wide, then light and narrow. */
function strokeTwice(ctx: CanvasRenderingContext2D, path: Path2D, core = 1.25, halo = 3.5): void {
  ctx.strokeStyle = HALO;
  ctx.lineWidth = halo;
  ctx.stroke(path);
  ctx.strokeStyle = CORE_WHITE;
  ctx.lineWidth = core;
  ctx.stroke(path);
}

function square(at: StagePoint, size: number): Path2D {
  const path = new Path2D();
  path.rect(at[0] - size / 2, at[1] - size / 2, size, size);
  return path;
}

function crosshair(at: StagePoint, arm: number, gap: number): Path2D {
  const path = new Path2D();
  for (const [dx, dy] of [
    [1, 0],
    [0, 1],
    [-1, 0],
    [0, -1],
  ] as const) {
    path.moveTo(at[0] + dx * gap, at[1] + dy * gap);
    path.lineTo(at[0] + dx * arm, at[1] + dy * arm);
  }
  return path;
}

function paintDraft(ctx: CanvasRenderingContext2D, frame: Frame, draft: DraftLook): void {
  if (draft.shape !== null) paintLines(ctx, frame, [linesOf(draft.shape)], TONE_LOOK.selected, "present");
  ctx.save();
  for (const place of draft.placed) {
    const path = square(toStage(frame, place), 6);
    ctx.fillStyle = CORE_WHITE;
    strokeTwice(ctx, path, 1, 3);
    ctx.fill(path);
  }
  ctx.restore();
}

function paintHandles(ctx: CanvasRenderingContext2D, frame: Frame, look: LiveLook): void {
  ctx.save();
  look.handles.forEach((handle, i) => {
    const at = toStage(frame, handle.at);
    const path = handle.kind === "turn" || handle.kind === "centre" ? new Path2D() : square(at, HANDLE_PX);
    if (handle.kind === "turn" || handle.kind === "centre") path.arc(at[0], at[1], HANDLE_PX / 2, 0, 2 * Math.PI);
    strokeTwice(ctx, path, 1.5, 4);
    ctx.fillStyle = handle.kind === "turn" ? CORE_WHITE : "rgba(14, 16, 18, 0.55)";
    ctx.fill(path);
    if (i === look.focusedHandle) {
      const ring = new Path2D();
      ring.arc(at[0], at[1], HANDLE_PX + 3, 0, 2 * Math.PI);
      strokeTwice(ctx, ring, 2, 5);
    }
  });
  ctx.restore();
}

/** The magnifier stands up and right of the place it shows, and goes to the other side near an edge. */
export function loupeCentre(frame: Frame, at: StagePoint): StagePoint {
  const room = LOUPE_RADIUS + 6;
  const x = at[0] + LOUPE_OFFSET + room > frame.widthPx ? at[0] - LOUPE_OFFSET : at[0] + LOUPE_OFFSET;
  const y = at[1] - LOUPE_OFFSET - room < 0 ? at[1] + LOUPE_OFFSET : at[1] - LOUPE_OFFSET;
  return stagePoint(x, y);
}

function paintLoupe(
  ctx: CanvasRenderingContext2D,
  frame: Frame,
  at: PhotoPoint,
  picture: Picture | null,
  pixelRatio: number,
  lines: Painting,
): void {
  const centre = loupeCentre(frame, toStage(frame, at));
  const size = 2 * LOUPE_RADIUS;
  const near: Frame = { ...frame, centre: at, zoom: frame.zoom * LOUPE_FACTOR, widthPx: size, heightPx: size };
  ctx.save();
  const rim = new Path2D();
  rim.arc(LOUPE_RADIUS, LOUPE_RADIUS, LOUPE_RADIUS, 0, 2 * Math.PI);
  ctx.translate(centre[0] - LOUPE_RADIUS, centre[1] - LOUPE_RADIUS);
  ctx.save();
  ctx.clip(rim);
  ctx.fillStyle = "#77797B";
  ctx.fillRect(0, 0, size, size);
  if (picture !== null) paintPicture(ctx, near, picture, pixelRatio);
  lines(ctx, near);
  strokeTwice(ctx, crosshair(stagePoint(LOUPE_RADIUS, LOUPE_RADIUS), LOUPE_RADIUS, 7), 1, 2.5);
  ctx.restore();
  strokeTwice(ctx, rim, 1.5, 4.5);
  ctx.restore();
}

/** Draws lines in whatever frame it is given. */
export type Painting = (ctx: CanvasRenderingContext2D, frame: Frame) => void;

/** Rubber band, handles, cursor, magnifier and focus ring, in stage pixels. */
export function paintLive(
  ctx: CanvasRenderingContext2D,
  frame: Frame,
  look: LiveLook,
  picture: Picture | null,
  pixelRatio: number,
  selected: Painting,
): void {
  if (look.draft !== null) paintDraft(ctx, frame, look.draft);
  paintHandles(ctx, frame, look);
  if (look.cursor !== null) {
    ctx.save();
    strokeTwice(ctx, crosshair(toStage(frame, look.cursor), 18, 4), 1.5, 4);
    ctx.restore();
  }
  if (look.loupeAt !== null)
    paintLoupe(ctx, frame, look.loupeAt, picture, pixelRatio, (inner, near) => {
      selected(inner, near);
      if (look.draft !== null) paintDraft(inner, near, look.draft);
    });
  if (look.hasFocusRing) {
    const ring = new Path2D();
    ring.rect(2, 2, frame.widthPx - 4, frame.heightPx - 4);
    ctx.save();
    strokeTwice(ctx, ring, 2, 4);
    ctx.restore();
  }
}

/** The wire axis: one hairline through the whole stage, with an arrow towards the break. */
export function paintAxis(ctx: CanvasRenderingContext2D, frame: Frame, axis: AxisLine): void {
  const [dx, dy] = toStageStep({ turnDeg: frame.turnDeg, zoom: 1 }, axis[1][0] - axis[0][0], axis[1][1] - axis[0][1]);
  const length = Math.hypot(dx, dy);
  if (length === 0) return;
  const [ux, uy] = [dx / length, dy / length];
  const on = toStage(frame, axis[1]);
  const reach = frame.widthPx + frame.heightPx + Math.hypot(on[0], on[1]);
  const path = new Path2D();
  path.moveTo(on[0] - ux * reach, on[1] - uy * reach);
  path.lineTo(on[0] + ux * reach, on[1] + uy * reach);
  path.moveTo(on[0] - ux * 11 - uy * 5, on[1] - uy * 11 + ux * 5);
  path.lineTo(on[0], on[1]);
  path.lineTo(on[0] - ux * 11 + uy * 5, on[1] - uy * 11 - ux * 5);
  ctx.save();
  ctx.globalAlpha = 0.85;
  strokeTwice(ctx, path, 1, 2.5);
  ctx.restore();
}
