import type { Geometry, Point } from "../../model/break/geometry.ts";
import type { FeatureId } from "../../model/evidence/features.ts";
import type { MeasureValue } from "../../model/evidence/observations.ts";
import type { Body } from "./body.ts";
import { soundFrom } from "./body.ts";
import type { BreakLook } from "./break-spec.ts";
import type { SheetFeature } from "./demo/demo-break.ts";
import type { EndSurface, Side } from "./end-surface.ts";
import { faceHeight, faceUnit } from "./end-surface.ts";
import type { Framing, ShotView } from "./view.ts";
import { placeEndOn, placeSide, towardDeg } from "./view.ts";

export interface FramedShot {
  readonly file: string;
  readonly view: ShotView;
  readonly frame: Framing;
}

const rounded = (p: Point): Point => [Math.round(p[0] * 10) / 10, Math.round(p[1] * 10) / 10];

/**
 * Turns the true geometry of a rendered end into marks of an observation sheet, in pixels of the upright picture.
 * A mark whose view was not photographed is written without geometry, as on a paper record.
 */
export class EndMarker {
  constructor(
    readonly look: BreakLook,
    readonly side: Side,
    readonly body: Body,
    readonly surface: EndSurface,
    readonly shots: readonly FramedShot[],
  ) {}

  get machine(): boolean {
    return this.side === "machine";
  }

  private shot(view: ShotView): FramedShot | undefined {
    return this.shots.find((s) => s.view === view);
  }

  /** A feature looked for and not found. */
  absent(...features: readonly FeatureId[]): readonly SheetFeature[] {
    return features.map((feature) => ({ feature, state: "absent" }));
  }

  private on(
    view: ShotView,
    feature: FeatureId,
    draw: (frame: Framing) => Geometry,
    measures?: Readonly<Record<string, MeasureValue>>,
  ): SheetFeature {
    const shot = this.shot(view);
    return {
      feature,
      ...(shot ? { photo: shot.file, geometry: draw(shot.frame) } : {}),
      ...(measures ? { measures } : {}),
    };
  }

  /** Marks the end-on picture; places are (y, z) in wire radii. */
  private endOn(frame: Framing, y: number, z: number): Point {
    return rounded(placeEndOn(frame, this.side, y, z));
  }

  /** Marks a side picture; x is downstream, s up. */
  private at(frame: Framing, x: number, s: number): Point {
    return rounded(placeSide(frame, x, s));
  }

  private get dir(): 1 | -1 {
    return this.machine ? 1 : -1;
  }

  /** Direction round the wire of the upper (+1) or lower (−1) edge in a side view. */
  private edgeTheta(view: ShotView, sign: 1 | -1): number {
    const toward = (towardDeg(view) * Math.PI) / 180;
    return Math.atan2(-sign * Math.cos(toward), sign * Math.sin(toward));
  }

  /** Outward height of the torn rim at a direction. */
  private rimHeight(theta: number): number {
    const r = 0.97 * this.body.rim(theta);
    return faceHeight(this.surface, this.dir * r * Math.cos(theta), r * Math.sin(theta));
  }

  /** Outline of the sound wire on every picture that shows it. */
  outlines(): readonly SheetFeature[] {
    return this.shots.flatMap((shot): SheetFeature[] => {
      if (shot.view === "end_on") {
        const { frame } = shot;
        const oval = this.body.spec.ovality ?? 0;
        const band = this.body.spec.band;
        const grow = band ? band.ratio : 1;
        // The band of a joint hides the wire behind it, so no outline can be drawn end-on there.
        if (grow > 1.001) return [];
        const rx = Math.round(frame.perRadius * (1 + oval) * 10) / 10;
        const ry = Math.round(frame.perRadius * (1 - oval) * 10) / 10;
        const [cx, cy] = this.endOn(frame, 0, 0);
        return [
          {
            feature: "wire_outline",
            photo: shot.file,
            geometry: { type: "ellipse", cx, cy, rx, ry, angle_deg: Math.round((frame.turnDeg % 180) * 100) / 100 },
          },
        ];
      }
      if (shot.view === "section_long") return [];
      const { frame } = shot;
      const tail = frame.tail ?? (this.machine ? frame.cx : frame.width - frame.cx) / frame.perRadius;
      let far = tail - 0.1;
      const top = this.edgeTheta(shot.view, 1);
      const low = this.edgeTheta(shot.view, -1);
      const torn = -Math.min(this.rimHeight(top), this.rimHeight(low));
      const clear = Math.max(soundFrom(this.body.spec), torn > 0.5 ? torn + 0.15 : 0);
      const r = (x: number, theta: number): number => this.body.radius(Math.abs(x), theta);
      const share = this.body.bendShare(top);
      const edge = (x: number, theta: number, sign: 1 | -1): Point => {
        const bend = this.body.bendAt(Math.abs(x));
        const up = (sign * r(x, theta)) / (1 + (bend.cos - 1) * Math.abs(share)) + bend.offset * share;
        return this.at(frame, x, up);
      };
      // A bent wire leaves the picture sooner than a straight one.
      const leaves = ([x, y]: Point): boolean => x < 0 || y < 0 || x > frame.width || y > frame.height;
      while (
        share !== 0 &&
        far > 1.2 &&
        (leaves(edge(-this.dir * far, top, 1)) || leaves(edge(-this.dir * far, low, -1)))
      )
        far -= 0.1;
      const x0 = -this.dir * far;
      const x1 = -this.dir * Math.min(far - 0.8, clear);
      return [
        {
          feature: "wire_outline",
          photo: shot.file,
          geometry: {
            type: "edges",
            points: [edge(x0, top, 1), edge(x1, top, 1), edge(x0, low, -1), edge(x1, low, -1)],
          },
        },
      ];
    });
  }

  /** Line across the smallest section that is left, in each side view. */
  necks(measures?: Readonly<Record<string, MeasureValue>>): readonly SheetFeature[] {
    return this.shots
      .filter((s) => s.view === "side_0" || s.view === "side_90")
      .map((shot) => {
        const top = this.edgeTheta(shot.view, 1);
        const low = this.edgeTheta(shot.view, -1);
        const d = Math.max(0, -this.rimHeight(top), -this.rimHeight(low)) + 0.015;
        const x = -this.dir * d;
        return {
          feature: "neck",
          photo: shot.file,
          geometry: {
            type: "line",
            points: [
              this.at(shot.frame, x, this.body.radius(d, top)),
              this.at(shot.frame, x, -this.body.radius(d, low)),
            ],
          },
          ...(measures ? { measures } : {}),
        };
      });
  }

  /** A round zone of the face; middle and radius in rim radii. */
  zone(
    feature: FeatureId,
    radius: number,
    measures?: Readonly<Record<string, MeasureValue>>,
    u = 0,
    v = 0,
  ): SheetFeature {
    const k = faceUnit(this.body);
    return this.on(
      "end_on",
      feature,
      (f) => {
        const [cx, cy] = this.endOn(f, this.body.cy + u * k, this.body.cz + v * k);
        const r = Math.round(radius * k * f.perRadius * 10) / 10;
        return { type: "ellipse", cx, cy, rx: r, ry: r, angle_deg: 0 };
      },
      measures,
    );
  }

  /** A closed zone of the face given by its edge in rim radii. */
  patch(
    feature: FeatureId,
    edge: readonly (readonly [u: number, v: number])[],
    measures?: Readonly<Record<string, MeasureValue>>,
  ): SheetFeature {
    return this.on("end_on", feature, (f) => ({ type: "polygon", points: this.onFace(f, edge) }), measures);
  }

  /** A drawn line on the face, in rim radii. */
  stroke(
    feature: FeatureId,
    line: readonly (readonly [u: number, v: number])[],
    measures?: Readonly<Record<string, MeasureValue>>,
  ): SheetFeature {
    return this.on("end_on", feature, (f) => ({ type: "polyline", points: this.onFace(f, line) }), measures);
  }

  /** A spot on the face, in rim radii. */
  spot(feature: FeatureId, u: number, v: number, measures?: Readonly<Record<string, MeasureValue>>): SheetFeature {
    return this.on("end_on", feature, (f) => ({ type: "point", points: [this.onFace(f, [[u, v]])[0]!] }), measures);
  }

  private onFace(f: Framing, places: readonly (readonly [number, number])[]): readonly Point[] {
    const k = faceUnit(this.body);
    return places.map(([u, v]) => this.endOn(f, this.body.cy + u * k, this.body.cz + v * k));
  }

  /** The slanting rim as an arc from one direction to another, radians, along its middle. */
  lip(inner: number, from: number, to: number, measures?: Readonly<Record<string, MeasureValue>>): SheetFeature {
    const steps = 36;
    const r = (1 + inner) / 2;
    const line = Array.from({ length: steps + 1 }, (_, i): [number, number] => {
      const a = from + ((to - from) * i) / steps;
      return [r * Math.cos(a), r * Math.sin(a)];
    });
    return this.stroke("shear_lip", line, measures);
  }

  /** Tip and flank of a cone that stands on this end; base in rim radii. */
  cone(base: number, flankDeg: number, measures: Readonly<Record<string, MeasureValue>>): readonly SheetFeature[] {
    const k = faceUnit(this.body);
    const height = (base * k) / Math.tan((flankDeg * Math.PI) / 180);
    const tip = (f: Framing): Point => this.at(f, this.dir * height * 0.97, this.body.cz);
    return [
      this.on("side_0", "cone_apex", (f) => ({ type: "point", points: [tip(f)] }), {
        apex_direction: this.machine ? "toward_spool" : "toward_machine",
        particle_at_apex: false,
      }),
      this.on(
        "side_0",
        "cone_flank",
        (f) => ({
          type: "angle",
          points: [this.at(f, 0, this.body.cz + base * k), tip(f), this.at(f, 0, this.body.cz - base * k)],
        }),
        measures,
      ),
    ];
  }

  /** The plane of the break in the side view that shows it edge on: [along the plane, on the axis, along the axis]. */
  plane(
    view: ShotView,
    angleDeg: number,
    leans: 1 | -1,
    measures: Readonly<Record<string, MeasureValue>>,
  ): SheetFeature {
    const slope = 1 / Math.tan((angleDeg * Math.PI) / 180);
    return this.on(
      view,
      "fracture_plane",
      (f) => ({
        type: "angle",
        points: [this.at(f, -leans * slope * 0.9, 0.9), this.at(f, 0, 0), this.at(f, -this.dir * 1.6, 0)],
      }),
      measures,
    );
  }

  /** A line on the skin in a side view, from (x0, s0) to (x1, s1) with x counted into the wire. */
  skinLine(
    view: ShotView,
    feature: FeatureId,
    d0: number,
    s0: number,
    d1: number,
    s1: number,
    measures?: Readonly<Record<string, MeasureValue>>,
  ): SheetFeature {
    return this.on(
      view,
      feature,
      (f) => ({ type: "line", points: [this.at(f, -this.dir * d0, s0), this.at(f, -this.dir * d1, s1)] }),
      measures,
    );
  }

  /** A box on the wire in a side view, from the break to a distance into the wire. */
  skinBox(
    view: ShotView,
    feature: FeatureId,
    d0: number,
    d1: number,
    s0: number,
    s1: number,
    measures?: Readonly<Record<string, MeasureValue>>,
  ): SheetFeature {
    return this.on(
      view,
      feature,
      (f) => ({
        type: "polygon",
        points: [
          this.at(f, -this.dir * d0, s0),
          this.at(f, -this.dir * d1, s0),
          this.at(f, -this.dir * d1, s1),
          this.at(f, -this.dir * d0, s1),
        ],
      }),
      measures,
    );
  }

  /** Angle of the permanent bend in the side view that shows it: far along the wire, where it bends, along the end. */
  bendSet(view: ShotView, measures: Readonly<Record<string, MeasureValue>>): SheetFeature {
    const { bend } = this.body.spec;
    const share = this.body.bendShare(this.edgeTheta(view, 1));
    const rise = Math.tan(((bend?.deg ?? 0) * Math.PI) / 180) * share;
    return this.on(
      view,
      "bend_set",
      (f) => ({
        type: "angle",
        points: [this.at(f, -this.dir * 2.2, 1.7 * rise), this.at(f, -this.dir * 0.5, 0), this.at(f, 0, 0)],
      }),
      measures,
    );
  }

  /** A swollen end in a side view. @param half – half length along the axis; the middle lies that far into the wire. */
  bead(view: ShotView, half: number, across: number, measures: Readonly<Record<string, MeasureValue>>): SheetFeature {
    return this.on(
      view,
      "melt_bead",
      (f) => {
        const [cx, cy] = this.at(f, -this.dir * half * 0.6, 0);
        const rx = Math.round(half * f.perRadius * 10) / 10;
        const ry = Math.round(across * f.perRadius * 10) / 10;
        return { type: "ellipse", cx, cy, rx, ry, angle_deg: f.turnDeg };
      },
      measures,
    );
  }

  /** Draw lines against the axis. */
  twist(helixDeg: number, measures: Readonly<Record<string, MeasureValue>>): SheetFeature {
    const rise = Math.tan((helixDeg * Math.PI) / 180);
    return this.on(
      "side_0",
      "twist_lines",
      (f) => ({
        type: "angle",
        points: [
          this.at(f, -this.dir * 1 + 0.5, 0.5 * rise),
          this.at(f, -this.dir * 1, 0),
          this.at(f, -this.dir * 1 + 0.5, 0),
        ],
      }),
      measures,
    );
  }

  /** V cracks of a section, one angle each; tips in wire radii downstream of the break plane. */
  chevrons(
    tips: readonly number[],
    points: 1 | -1,
    reach: number,
    armDeg: number,
    measures: Readonly<Record<string, MeasureValue>>,
  ): readonly SheetFeature[] {
    const back = reach / Math.tan((armDeg * Math.PI) / 180);
    return tips.map((tip) =>
      this.on(
        "section_long",
        "chevron",
        (f) => ({
          type: "angle",
          points: [this.at(f, tip - points * back, reach), this.at(f, tip, 0), this.at(f, tip - points * back, -reach)],
        }),
        measures,
      ),
    );
  }
}
