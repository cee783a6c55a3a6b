import type { Geometry, Point } from "../break/geometry.ts";
import { MeasureError } from "./measure-error.ts";
import { combine, directionDeg, exact, hypotenuse, linear, minus, plus, reading, scaled, times } from "./uncertain.ts";
import type { Quantity } from "./uncertain.ts";
import { degToRad, foldToRightAngle } from "./units.ts";

/** A point of a photograph whose coordinates carry their placing, px. */
export interface PlacedPoint {
  readonly x: Quantity;
  readonly y: Quantity;
}

/**
 * Standard uncertainty of placing one click: 2 px, or 0.1 % of the picture width where that is more.
 *
 * Covers how well an edge can be hit on a sharp photograph; a blurred edge needs a larger value.
 *
 * @source common practice, no source
 */
export const placingUncertaintyPx = (widthPx: number): number => Math.max(2, 0.001 * widthPx);

/** A clicked point; `name` makes its two coordinates sources of their own. */
export const placed = (name: string, point: Point, placingPx: number): PlacedPoint => ({
  x: reading(`${name}.x`, point[0], placingPx),
  y: reading(`${name}.y`, point[1], placingPx),
});

export const between = (a: PlacedPoint, b: PlacedPoint): PlacedPoint => ({ x: minus(b.x, a.x), y: minus(b.y, a.y) });
export const middle = (a: PlacedPoint, b: PlacedPoint): PlacedPoint => ({
  x: scaled(plus(a.x, b.x), 0.5),
  y: scaled(plus(a.y, b.y), 0.5),
});
export const distance = (a: PlacedPoint, b: PlacedPoint): Quantity => {
  const v = between(a, b);
  return hypotenuse(v.x, v.y);
};
/** Direction from a to b, degrees from +x toward +y. @throws MeasureError `degenerate-geometry` */
export const direction = (a: PlacedPoint, b: PlacedPoint): Quantity => {
  const v = between(a, b);
  return directionDeg(v.x, v.y);
};

const along = (degrees: Quantity): PlacedPoint => {
  const rad = degToRad(degrees.value);
  const perDeg = Math.PI / 180;
  return {
    x: linear(Math.cos(rad), [[degrees, -Math.sin(rad) * perDeg]]),
    y: linear(Math.sin(rad), [[degrees, Math.cos(rad) * perDeg]]),
  };
};

/** Signed component of a vector along a direction (degrees). */
export const component = (v: PlacedPoint, degrees: Quantity): Quantity => {
  const unit = along(degrees);
  return plus(times(v.x, unit.x), times(v.y, unit.y));
};
/** Signed component of a vector across a direction, positive to the side of +90°. */
export const componentAcross = (v: PlacedPoint, degrees: Quantity): Quantity => {
  const unit = along(degrees);
  return minus(times(v.y, unit.x), times(v.x, unit.y));
};

export const magnitude = (q: Quantity): Quantity => (q.value < 0 ? scaled(q, -1) : q);

/** Angle between two undirected lines, 0–90°. */
export function lineAngle(a: Quantity, b: Quantity): Quantity {
  const difference = minus(a, b);
  const value = foldToRightAngle(difference.value);
  const half = ((difference.value % 180) + 180) % 180;
  return { value, shares: half > 90 ? scaled(difference, -1).shares : difference.shares };
}

/** Angle between two rays, 0–180°. */
export function rayAngle(a: Quantity, b: Quantity): Quantity {
  const difference = minus(a, b);
  const turn = ((difference.value % 360) + 360) % 360;
  return turn > 180
    ? { value: 360 - turn, shares: scaled(difference, -1).shares }
    : { value: turn, shares: difference.shares };
}

/** A closed zone of the face or of the wire's side. */
export interface Zone {
  readonly points: readonly Point[];
  /** px². Its boundary is taken to be placed too far in or out all round, by one placing uncertainty. */
  readonly area: Quantity;
  readonly centre: PlacedPoint;
}

type ZoneGeometry = Extract<Geometry, { type: "polygon" | "ellipse" }>;

/**
 * Area and centre of a polygon or ellipse.
 *
 * A person follows a boundary with a bias, so the error of a polygon's edge is taken as one common offset:
 * u(A) = perimeter × placing. This is larger than independent errors of the corners would give.
 *
 * @throws MeasureError `degenerate-geometry` for no area.
 * @source common practice, no source
 */
export function zoneOf(name: string, geometry: ZoneGeometry, placingPx: number): Zone {
  return geometry.type === "ellipse"
    ? ellipseZone(name, geometry, placingPx)
    : polygonZone(name, geometry.points, placingPx);
}

function polygonZone(name: string, points: readonly Point[], placingPx: number): Zone {
  const [ox, oy] = points[0] ?? [0, 0];
  let twice = 0;
  let mx = 0;
  let my = 0;
  let perimeter = 0;
  points.forEach(([x1, y1], i) => {
    const [x2, y2] = points[(i + 1) % points.length] ?? [x1, y1];
    const crossed = (x1 - ox) * (y2 - oy) - (x2 - ox) * (y1 - oy);
    twice += crossed;
    mx += crossed * (x1 + x2 - 2 * ox);
    my += crossed * (y1 + y2 - 2 * oy);
    perimeter += Math.hypot(x2 - x1, y2 - y1);
  });
  const area = Math.abs(twice) / 2;
  if (!(area > 1e-9 * perimeter * perimeter) || !Number.isFinite(area))
    throw new MeasureError("degenerate-geometry", "The drawn zone encloses no area. Draw it again.");
  return {
    points,
    area: reading(`${name}.edge`, area, perimeter * placingPx),
    centre: placed(`${name}.centre`, [ox + mx / (3 * twice), oy + my / (3 * twice)], placingPx / Math.SQRT2),
  };
}

/** Half axes of an ellipse mark as quantities: each lies between two placed extremes. */
export function halfAxes(
  name: string,
  ellipse: { readonly rx: number; readonly ry: number },
  placingPx: number,
): readonly [Quantity, Quantity] {
  if (!(ellipse.rx > 0) || !(ellipse.ry > 0) || !Number.isFinite(ellipse.rx * ellipse.ry))
    throw new MeasureError("degenerate-geometry", "The drawn outline has no width. Draw it again.");
  const u = placingPx / Math.SQRT2;
  return [reading(`${name}.rx`, ellipse.rx, u), reading(`${name}.ry`, ellipse.ry, u)];
}

function ellipseZone(name: string, e: Extract<Geometry, { type: "ellipse" }>, placingPx: number): Zone {
  const [rx, ry] = halfAxes(name, e, placingPx);
  const [cos, sin] = [Math.cos(degToRad(e.angle_deg)), Math.sin(degToRad(e.angle_deg))];
  return {
    // Only extents and rims need the points, so they are worked out when asked for.
    get points() {
      return Array.from({ length: 72 }, (_, i): Point => {
        const t = (i * Math.PI) / 36;
        const [a, b] = [e.rx * Math.cos(t), e.ry * Math.sin(t)];
        return [e.cx + a * cos - b * sin, e.cy + a * sin + b * cos];
      });
    },
    area: scaled(times(rx, ry), Math.PI),
    centre: placed(`${name}.centre`, [e.cx, e.cy], placingPx / Math.SQRT2),
  };
}

/** Smallest and largest component of a set of points along or across a direction, each placed once. */
export function extent(
  name: string,
  points: readonly Point[],
  axis: Quantity,
  which: "along" | "across",
  placingPx: number,
): { readonly from: Quantity; readonly to: Quantity; readonly length: Quantity } {
  const take = which === "along" ? component : componentAcross;
  const rad = degToRad(axis.value);
  const [cx, cy] = which === "along" ? [Math.cos(rad), Math.sin(rad)] : [-Math.sin(rad), Math.cos(rad)];
  const at = (p: Point) => p[0] * cx + p[1] * cy;
  if (points.length === 0) throw new MeasureError("degenerate-geometry", "The drawn shape has no points.");
  // A side that lies square to the direction has no single outermost point: its middle stands for it.
  const outermost = (sign: 1 | -1): Point => {
    const reach = points.reduce((most, p) => Math.max(most, sign * at(p)), -Infinity);
    const side = points.filter((p) => reach - sign * at(p) <= placingPx);
    const x = side.reduce((sum, p) => sum + p[0], 0) / side.length;
    const y = side.reduce((sum, p) => sum + p[1], 0) / side.length;
    const short = sign * reach - at([x, y]);
    return [x + short * cx, y + short * cy];
  };
  const a = placed(`${name}.${which}.low`, outermost(-1), placingPx);
  const b = placed(`${name}.${which}.high`, outermost(1), placingPx);
  const length = take(between(a, b), axis);
  if (!(length.value > 0)) throw new MeasureError("degenerate-geometry", "The drawn shape is flat. Draw it again.");
  return { from: take(a, axis), to: take(b, axis), length };
}

/** Length of a polyline, its corners placed one by one. @throws MeasureError `degenerate-geometry` */
export function pathLength(points: readonly PlacedPoint[]): Quantity {
  const pieces = points.slice(1).map((p, i) => distance(points[i] ?? p, p));
  const length = pieces.reduce(plus, exact(0));
  if (!(length.value > 0))
    throw new MeasureError("degenerate-geometry", "The drawn line has no length. Draw it again.");
  return length;
}

/** Point halfway along a polyline. */
export function halfWay(points: readonly Point[]): Point {
  const lengths = points.slice(1).map((p, i) => {
    const q = points[i] ?? p;
    return Math.hypot(p[0] - q[0], p[1] - q[1]);
  });
  let left = lengths.reduce((sum, l) => sum + l, 0) / 2;
  for (const [i, l] of lengths.entries()) {
    const [a, b] = [points[i], points[i + 1]];
    if (a !== undefined && b !== undefined && left <= l) {
      const t = l === 0 ? 0 : left / l;
      return [a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])];
    }
    left -= l;
  }
  return points[0] ?? [0, 0];
}

/**
 * Point that lies nearest to several straight lines (least squares of the distances).
 *
 * @param lines – start and end of each.
 * @throws MeasureError `degenerate-geometry` when the lines run side by side.
 */
export function meetingPoint(lines: readonly (readonly [PlacedPoint, PlacedPoint])[]): PlacedPoint {
  const inputs = lines.flatMap(([a, b]) => [a.x, a.y, b.x, b.y]);
  const solve = (v: readonly number[]): Point => {
    let [xx, xy, yy, bx, by] = [0, 0, 0, 0, 0];
    for (let i = 0; i < v.length; i += 4) {
      const [ax = 0, ay = 0, ex = 0, ey = 0] = v.slice(i, i + 4);
      const length = Math.hypot(ex - ax, ey - ay);
      const [nx, ny] = [-(ey - ay) / length, (ex - ax) / length];
      const offset = nx * ax + ny * ay;
      xx += nx * nx;
      xy += nx * ny;
      yy += ny * ny;
      bx += nx * offset;
      by += ny * offset;
    }
    const determinant = xx * yy - xy * xy;
    const size = (xx + yy) * (xx + yy);
    if (!(determinant > 1e-6 * size)) return [NaN, NaN];
    return [(yy * bx - xy * by) / determinant, (xx * by - xy * bx) / determinant];
  };
  return { x: combine(inputs, (v) => solve(v)[0]), y: combine(inputs, (v) => solve(v)[1]) };
}

/** What part of a full turn a drawn outline covers as seen from a centre, and its mean distance from there. */
export interface AngularCover {
  /** 0–1. */
  readonly share: number;
  /** Mean distance from the centre, weighted by the angle swept, px. */
  readonly meanRadius: number;
}

/** @param closed – whether the last point joins the first. */
export function angularCover(points: readonly Point[], centre: Point, closed: boolean): AngularCover {
  const spans: [number, number][] = [];
  let swept = 0;
  let weighted = 0;
  points.forEach((p, i) => {
    if (!closed && i === points.length - 1) return;
    const q = points[(i + 1) % points.length] ?? p;
    const [ax, ay, bx, by] = [p[0] - centre[0], p[1] - centre[1], q[0] - centre[0], q[1] - centre[1]];
    const from = Math.atan2(ay, ax);
    const turn = Math.atan2(ax * by - ay * bx, ax * bx + ay * by);
    const [low, high] = turn >= 0 ? [from, from + turn] : [from + turn, from];
    spans.push([low, high]);
    swept += high - low;
    weighted += (high - low) * ((Math.hypot(ax, ay) + Math.hypot(bx, by)) / 2);
  });
  return { share: covered(spans), meanRadius: swept === 0 ? 0 : weighted / swept };
}

/** Union of angle spans as a share of a full turn. */
function covered(spans: readonly [number, number][]): number {
  const full = 2 * Math.PI;
  const pieces = spans.flatMap(([low, high]): [number, number][] => {
    const start = ((low % full) + full) % full;
    const end = start + (high - low);
    return end > full
      ? [
          [start, full],
          [0, end - full],
        ]
      : [[start, end]];
  });
  pieces.sort((a, b) => a[0] - b[0]);
  let total = 0;
  let reached = 0;
  for (const [low, high] of pieces) {
    total += Math.max(0, high - Math.max(low, reached));
    reached = Math.max(reached, high);
  }
  return Math.min(1, total / full);
}
