import type { Geometry, Point } from "../../../model/break/geometry.ts";
import { fitEllipse } from "../../../model/measure/outline.ts";
import { EndMarker } from "../end-marker.ts";
import type { EndSurface, Side } from "../end-surface.ts";
import { FACE, faceUnit } from "../end-surface.ts";
import type { BuiltBreak, RenderedShot } from "../render-break.ts";
import type { Framing, ShotView } from "../view.ts";
import { placeEndOn, placeSide, towardDeg } from "../view.ts";
import { edgeContrast } from "./edge-contrast.ts";
import type { FaceEdge } from "./part.ts";
import { silhouette } from "./silhouette.ts";
import type { VariedBreak } from "./varied-break.ts";

/** What is known for certain about one rendered picture; lengths and places in px of that picture. */
export interface PictureTruth {
  readonly file: string;
  readonly side: Side;
  readonly view: ShotView;
  readonly width: number;
  readonly height: number;
  readonly pxPerMm: number;
  /** Of the sound wire. */
  readonly wireDiameterPx: number;
  /** Turn in the picture, degrees clockwise. */
  readonly turnDeg: number;
  /** Outline of everything the wire covers. */
  readonly silhouette: readonly Point[];
  /** End-on: the sound wire; null where a wider band or bead hides it, and in side views. */
  readonly outline: Geometry | null;
  /** End-on: the ellipse that the silhouette comes nearest to; null in side views. */
  readonly seenOutline: Geometry | null;
  /** Side view: both edges of the sound wire, [a1, a2, b1, b2]; null end-on. */
  readonly edges: Geometry | null;
  /** Side view: a place of the axis at the break and the direction from the wire toward the break; null end-on. */
  readonly axis: { readonly at: Point; readonly towardBreak: Point; readonly deg: number } | null;
  /** Side view: line across the smallest whole section; null end-on and where the end is a melted bead. */
  readonly neck: { readonly line: Geometry; readonly diameterPx: number; readonly overD: number } | null;
  /** End-on: the hole that looks out of this face; null when none does. */
  readonly hole: {
    readonly kind: "cavity" | "hollow" | "socket";
    readonly polygon: readonly Point[];
    /** Diameter of the circle of equal area over the wire's. */
    readonly overD: number;
  } | null;
  /** A cone that stands on this end: its tip; in side views also its base and the angle of its flank to the axis. */
  readonly cone: {
    readonly apex: Point;
    readonly base: readonly [Point, Point] | null;
    readonly flankDeg: number;
  } | null;
  /**
   * Side view: the plane nearest to the broken face; its angle to the axis in space and as seen edge on in this picture,
   * degrees; how far the face leaves it, wire diameters root mean square; two places on it and one down the axis.
   */
  readonly plane: {
    readonly angleDeg: number;
    readonly seenDeg: number;
    readonly offPlaneD: number;
    readonly mark: Geometry;
  } | null;
  /** End-on: where the slanting rim begins; null without one. */
  readonly lipInner: readonly Point[] | null;
  /** Difference of brightness across the outline, 8-bit steps: median over the outline and tenth percentile. */
  readonly contrast: { readonly median: number; readonly low: number };
}

const tenth = (v: number): number => Math.round(v * 10) / 10;
const point = (p: Point): Point => [tenth(p[0]), tenth(p[1])];

function planeOf(s: EndSurface): {
  readonly a: number;
  readonly right: number;
  readonly up: number;
  readonly rms: number;
} {
  const sum = { n: 0, x: 0, y: 0, h: 0, xx: 0, xy: 0, yy: 0, xh: 0, yh: 0, hh: 0 };
  const step = Math.max(1, Math.floor(s.n / 160));
  for (let j = 0; j < s.n; j += step)
    for (let i = 0; i < s.n; i += step) {
      const at = j * s.n + i;
      if (s.kind[at] !== FACE) continue;
      const x = (i + 0.5 - s.n / 2) / s.perRadius;
      const y = -(j + 0.5 - s.n / 2) / s.perRadius;
      const h = s.face[at]!;
      sum.n++;
      sum.x += x;
      sum.y += y;
      sum.h += h;
      sum.xx += x * x;
      sum.xy += x * y;
      sum.yy += y * y;
      sum.xh += x * h;
      sum.yh += y * h;
      sum.hh += h * h;
    }
  const [mx, my, mh] = [sum.x / sum.n, sum.y / sum.n, sum.h / sum.n];
  const [sxx, sxy, syy] = [sum.xx / sum.n - mx * mx, sum.xy / sum.n - mx * my, sum.yy / sum.n - my * my];
  const [sxh, syh] = [sum.xh / sum.n - mx * mh, sum.yh / sum.n - my * mh];
  const det = sxx * syy - sxy * sxy;
  const right = (sxh * syy - syh * sxy) / det;
  const up = (syh * sxx - sxh * sxy) / det;
  const left = sum.hh / sum.n - mh * mh - right * sxh - up * syh;
  return { a: mh - right * mx - up * my, right, up, rms: Math.sqrt(Math.max(0, left)) };
}

const angleOf = (slope: number): number => Math.round((Math.atan2(1, Math.abs(slope)) * 1800) / Math.PI) / 10;

/** Truth of one rendered picture of a varied break. */
export function pictureTruth(b: VariedBreak, built: BuiltBreak, shot: RenderedShot): PictureTruth {
  const { frame, pixels } = shot;
  const { side, view } = shot.shot;
  const { body } = built;
  const surface = built.ends[side].surface;
  const outline = silhouette(shot.cover, frame.width, frame.height).map(point);
  const common = {
    file: shot.shot.file,
    side,
    view,
    width: frame.width,
    height: frame.height,
    pxPerMm: Math.round(shot.pxPerMm * 1000) / 1000,
    wireDiameterPx: Math.round(200 * frame.perRadius) / 100,
    turnDeg: Math.round(frame.turnDeg * 1000) / 1000,
    silhouette: outline,
    contrast: edgeContrast(pixels, shot.cover, frame.perRadius),
  };
  const marker = new EndMarker(b.look, side, body, surface, [{ file: shot.shot.file, view, frame }]);
  const drawn = marker.outlines()[0]?.geometry ?? null;
  const { cone } = b.facts;
  const k = faceUnit(body);
  if (view === "end_on") {
    const onFace = (edge: FaceEdge): readonly Point[] =>
      edge.map(([u, v]) => point(placeEndOn(frame, side, body.cy + u * k, body.cz + v * k)));
    const hole = b.facts.hole?.[side];
    return {
      ...common,
      outline: body.spec.bulge ? null : drawn,
      seenOutline: seenEllipse(built, side, frame),
      edges: null,
      axis: null,
      neck: null,
      hole: hole
        ? { kind: hole.kind, polygon: onFace(hole.edge), overD: Math.round(1e3 * equalDiameter(hole.edge) * k) / 2e3 }
        : null,
      cone:
        cone?.side === side
          ? { apex: point(placeEndOn(frame, side, body.cy, body.cz)), base: null, flankDeg: cone.flankDeg }
          : null,
      plane: null,
      lipInner: b.facts.lipInner ? onFace(b.facts.lipInner) : null,
    };
  }
  const dir = side === "machine" ? 1 : -1;
  const place = (x: number, s: number): Point => point(placeSide(frame, x, s));
  const a = (frame.turnDeg * Math.PI) / 180;
  const toward: Point = [dir * Math.cos(a), dir * Math.sin(a)];
  const neck = body.spec.bulge && body.spec.bulge.at < 1 ? undefined : marker.necks()[0]?.geometry;
  const neckPx =
    neck?.type === "line"
      ? Math.hypot(neck.points[1][0] - neck.points[0][0], neck.points[1][1] - neck.points[0][1])
      : 0;
  const plane = planeOf(surface);
  const t = (towardDeg(view) * Math.PI) / 180;
  // "Up" of the picture in the field's own axes: the take-up end is seen mirrored.
  const seen = plane.right * dir * Math.sin(t) - plane.up * Math.cos(t);
  const onPlane = (s: number): number => dir * (plane.a + seen * s);
  const apexUp = body.cy * Math.sin(t) - body.cz * Math.cos(t);
  return {
    ...common,
    outline: null,
    seenOutline: null,
    edges: drawn,
    axis: {
      at: place(0, 0),
      towardBreak: [Math.round(toward[0] * 1e5) / 1e5, Math.round(toward[1] * 1e5) / 1e5],
      deg: Math.round((Math.atan2(toward[1], toward[0]) * 18000) / Math.PI) / 100,
    },
    neck: neck
      ? { line: neck, diameterPx: tenth(neckPx), overD: Math.round((neckPx / frame.perRadius) * 500) / 1000 }
      : null,
    hole: null,
    cone:
      cone?.side === side
        ? {
            apex: place(dir * surface.highest, apexUp),
            base: [place(0, apexUp + cone.base * k), place(0, apexUp - cone.base * k)],
            flankDeg: Math.round(cone.flankDeg * 10) / 10,
          }
        : null,
    plane: {
      angleDeg: angleOf(Math.hypot(plane.right, plane.up)),
      seenDeg: angleOf(seen),
      offPlaneD: Math.round(plane.rms * 500) / 1000,
      mark: { type: "angle", points: [place(onPlane(0.9), 0.9), place(onPlane(0), 0), place(-dir * 1.6, 0)] },
    },
    lipInner: null,
  };
}

/** Area of a closed line as a circle: its diameter, in the unit of the line. */
function equalDiameter(edge: FaceEdge): number {
  let sum = 0;
  edge.forEach(([ax, ay], i) => {
    const [bx, by] = edge[(i + 1) % edge.length]!;
    sum += ax * by - bx * ay;
  });
  return 2 * Math.sqrt(Math.abs(sum) / 2 / Math.PI);
}

function seenEllipse(built: BuiltBreak, side: Side, frame: Framing): Geometry {
  const points = Array.from({ length: 90 }, (_, i): Point => {
    const theta = (i * Math.PI) / 45;
    const r = built.body.outer(theta);
    return placeEndOn(frame, side, r * Math.cos(theta), r * Math.sin(theta));
  });
  const { ellipse } = fitEllipse(points, 0.2);
  return {
    ...ellipse,
    cx: tenth(ellipse.cx),
    cy: tenth(ellipse.cy),
    rx: tenth(ellipse.rx),
    ry: tenth(ellipse.ry),
    angle_deg: tenth(ellipse.angle_deg),
  };
}
