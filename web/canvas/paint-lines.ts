import type { Geometry } from "../../model/break/geometry.ts";
import type { MarkState } from "../../model/evidence/observations.ts";
import { boundsOf, strokesOf, type Bounds, type Stroke } from "./outline.ts";
import { HALO, STATE_DASH, type LineLook } from "./palette.ts";
import { stageMatrix, stagePoint, toStage, type Frame, type StagePoint } from "./transform.ts";

/** Ornaments keep their size on the stage at every zoom, stage pixels. */
const POINT_RADIUS = 6;
const TICK = 6;
const ANGLE_RADIUS = 20;
const ROUND_JOINS_UP_TO = 60;

/** A geometry ready to be stroked: its path is built once and reused at every frame. */
export interface Lines {
  readonly geometry: Geometry;
  readonly strokes: readonly Stroke[];
  readonly bounds: Bounds | null;
  readonly path: Path2D;
}

export function linesOf(geometry: Geometry): Lines {
  const strokes = strokesOf(geometry);
  const path = new Path2D();
  if (geometry.type === "ellipse") {
    const { cx, cy, rx, ry, angle_deg } = geometry;
    path.ellipse(cx, cy, rx, ry, (angle_deg * Math.PI) / 180, 0, 2 * Math.PI);
  } else if (geometry.type !== "point") for (const stroke of strokes) trace(path, stroke);
  return { geometry, strokes, bounds: boundsOf(strokes), path };
}

function trace(path: Path2D, { points, closed }: Stroke): void {
  points.forEach(([x, y], i) => (i === 0 ? path.moveTo(x, y) : path.lineTo(x, y)));
  if (closed) path.closePath();
}

/**
 * Strokes lines twice, dark and wide below, light and narrow on top. All lines given share one look, so any number
 * of marks costs two strokes. The context is in stage pixels and is left as it was.
 */
export function paintLines(
  ctx: CanvasRenderingContext2D,
  frame: Frame,
  lines: readonly Lines[],
  look: LineLook,
  state: MarkState,
): void {
  if (lines.length === 0) return;
  const matrix = new DOMMatrix([...stageMatrix(frame)]);
  const all = new Path2D();
  const ornaments = new Path2D();
  for (const line of lines) {
    if (!isShown(frame, line.bounds)) continue;
    all.addPath(line.path, matrix);
    addOrnaments(ornaments, frame, line.geometry);
  }
  ctx.save();
  ctx.globalAlpha = look.opacity;
  // Round joins cost as much again as the lines themselves, and among many marks nobody sees them.
  ctx.lineJoin = lines.length > ROUND_JOINS_UP_TO ? "bevel" : "round";
  ctx.lineCap = state === "not_assessable" ? "round" : "butt";
  for (const [colour, width] of [
    [HALO, look.haloWidth],
    [look.core, look.coreWidth],
  ] as const) {
    ctx.strokeStyle = colour;
    ctx.lineWidth = width;
    ctx.setLineDash([...STATE_DASH[state]]);
    ctx.stroke(all);
    ctx.setLineDash([]);
    ctx.stroke(ornaments);
  }
  ctx.restore();
}

/** False when the box lies wholly off the stage; 40 px are allowed for ornaments. */
function isShown(frame: Frame, bounds: Bounds | null): boolean {
  if (bounds === null) return false;
  const middle = toStage(frame, [(bounds.minX + bounds.maxX) / 2, (bounds.minY + bounds.maxY) / 2]);
  const reach = (Math.hypot(bounds.maxX - bounds.minX, bounds.maxY - bounds.minY) / 2) * frame.zoom + 40;
  return (
    middle[0] > -reach && middle[0] < frame.widthPx + reach && middle[1] > -reach && middle[1] < frame.heightPx + reach
  );
}

function addOrnaments(path: Path2D, frame: Frame, g: Geometry): void {
  switch (g.type) {
    case "point": {
      const [x, y] = toStage(frame, g.points[0]);
      path.moveTo(x + POINT_RADIUS, y);
      path.arc(x, y, POINT_RADIUS, 0, 2 * Math.PI);
      for (const [dx, dy] of [
        [1, 0],
        [0, 1],
        [-1, 0],
        [0, -1],
      ] as const) {
        path.moveTo(x + dx * 2, y + dy * 2);
        path.lineTo(x + dx * (POINT_RADIUS + 4), y + dy * (POINT_RADIUS + 4));
      }
      return;
    }
    case "line":
      ticks(path, toStage(frame, g.points[0]), toStage(frame, g.points[1]));
      return;
    case "angle":
      arc(path, toStage(frame, g.points[0]), toStage(frame, g.points[1]), toStage(frame, g.points[2]));
      return;
    default:
      return;
  }
}

/** Short bars across both ends of a measured line. */
function ticks(path: Path2D, a: StagePoint, b: StagePoint): void {
  const length = Math.hypot(b[0] - a[0], b[1] - a[1]);
  if (length === 0) return;
  const nx = (-(b[1] - a[1]) / length) * TICK;
  const ny = ((b[0] - a[0]) / length) * TICK;
  for (const [x, y] of [a, b]) {
    path.moveTo(x - nx, y - ny);
    path.lineTo(x + nx, y + ny);
  }
}

/** The arc between the arms, on the side of the smaller angle. */
function arc(path: Path2D, a: StagePoint, vertex: StagePoint, b: StagePoint): void {
  const from = Math.atan2(a[1] - vertex[1], a[0] - vertex[0]);
  const to = Math.atan2(b[1] - vertex[1], b[0] - vertex[0]);
  const sweep = ((((to - from) % (2 * Math.PI)) + 3 * Math.PI) % (2 * Math.PI)) - Math.PI;
  const start = stagePoint(vertex[0] + ANGLE_RADIUS * Math.cos(from), vertex[1] + ANGLE_RADIUS * Math.sin(from));
  path.moveTo(start[0], start[1]);
  path.arc(vertex[0], vertex[1], ANGLE_RADIUS, from, from + sweep, sweep < 0);
}
