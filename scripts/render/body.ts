import { ramp } from "./noise.ts";

/** The wire near the break, in wire radii; d is the distance from the break plane into the wire. */
export interface BodySpec {
  /** Mean neck radius / wire radius at the break plane. */
  readonly neck: number;
  /** Length over which the neck fades, radii. */
  readonly neckLength: number;
  /** How much deeper the neck is on one side, 0–1, and where (radians, 0 = +y, π/2 = +z). */
  readonly oneSided?: number;
  readonly oneSidedAt?: number;
  /** (dmax − dmin)/(2·mean) of the wire. */
  readonly ovality?: number;
  /** A swelling, such as over a particle. */
  readonly bulge?: { readonly at: number; readonly height: number; readonly length: number };
  /** An upset band at the break: radius ratio and half length. */
  readonly band?: { readonly ratio: number; readonly halfLength: number };
  /** A permanent bend of the wire behind the break, in the plane of `at`: the outer side of the bend. */
  readonly bend?: { readonly at: number; readonly deg: number; readonly over: number };
  /** A V notch cut across the wire at the break plane. */
  readonly nick?: {
    readonly at: number;
    readonly halfAngle: number;
    readonly depth: number;
    readonly halfLength: number;
  };
}

/** Distance from the break plane beyond which the wire is its sound self, wire radii. */
export const soundFrom = (spec: BodySpec): number =>
  Math.max(
    (1 - spec.neck > 0.02 ? 2 : 0.6) * spec.neckLength,
    spec.bulge ? spec.bulge.at + 2.2 * spec.bulge.length : 0,
    spec.band ? spec.band.halfLength * 1.1 : 0,
    spec.bend ? 1.2 + 2.2 * spec.bend.over : 0,
  );

/**
 * The outer shape of both pieces of the wire: they share it, because the break plane cuts one wire.
 * Beyond the break plane (d < 0) the radius stays at the rim's, so that a standing lip is a short tube.
 */
export class Body {
  /** Middle of the rim, radii, in the y–z plane. */
  readonly cy: number;
  readonly cz: number;

  constructor(readonly spec: BodySpec) {
    const shift = (spec.oneSided ?? 0) * (1 - spec.neck);
    this.cy = -shift * Math.cos(spec.oneSidedAt ?? 0);
    this.cz = -shift * Math.sin(spec.oneSidedAt ?? 0);
  }

  private deficit(theta: number): number {
    const s = this.spec;
    return s.oneSided ? (1 - s.neck) * (1 + s.oneSided * Math.cos(theta - (s.oneSidedAt ?? 0))) : 1 - s.neck;
  }

  /** Depth of the nick at the break plane for a direction, radii. */
  nickDepth(theta: number): number {
    const n = this.spec.nick;
    if (!n) return 0;
    let a = Math.abs(theta - n.at) % (2 * Math.PI);
    if (a > Math.PI) a = 2 * Math.PI - a;
    if (a >= n.halfAngle) return 0;
    // A straight-edged tool leaves a chord: deepest in the middle, running out at both sides.
    const flat = (1 - n.depth) / Math.max(0.2, Math.cos(a));
    return Math.max(0, 1 - Math.max(flat, 1 - n.depth));
  }

  /** Radius of the wire, in wire radii. @param d – distance from the break plane into the wire. */
  radius(d: number, theta: number): number {
    const s = this.spec;
    const q = Math.max(0, d);
    const n = q / s.neckLength;
    let r = s.ovality ? 1 + s.ovality * Math.cos(2 * theta) : 1;
    // Farther in, the neck has faded to less than the numbers can hold.
    if (n < 6.2) r -= this.deficit(theta) * Math.exp(-(n * n));
    if (s.bulge) {
      const b = (q - s.bulge.at) / s.bulge.length;
      r += s.bulge.height * Math.exp(-(b * b));
    }
    if (s.band) r += (s.band.ratio - 1) * (1 - ramp(s.band.halfLength * 0.72, s.band.halfLength, q));
    if (s.nick) r -= this.nickDepth(theta) * Math.max(0, 1 - q / s.nick.halfLength);
    return r;
  }

  /**
   * Sideways displacement of the wire's axis behind the break, away from the outer side of the bend, wire radii, and
   * the cosine of the local slope.
   */
  bendAt(d: number): { readonly offset: number; readonly cos: number } {
    const b = this.spec.bend;
    if (!b || d <= 0) return { offset: 0, cos: 1 };
    const slope = Math.tan((b.deg * Math.PI) / 180);
    const root = Math.hypot(d, b.over);
    const local = (slope * d) / root;
    return { offset: slope * (root - b.over), cos: 1 / Math.hypot(1, local) };
  }

  /** Share of the bend seen in a side view, along its "up"; −1 to 1. @param upTheta – direction of "up" round the wire. */
  bendShare(upTheta: number): number {
    return this.spec.bend ? -Math.cos(this.spec.bend.at - upTheta) : 0;
  }

  rim(theta: number): number {
    return this.radius(0, theta);
  }

  /** Where the outside of the wire is met when looking along the axis outside the rim: −d, radii. */
  shoulder(rho: number, theta: number): number {
    const s = this.spec;
    if (rho <= this.rim(theta)) return 0;
    let lo = 0;
    let hi = 9;
    if (this.radius(hi, theta) < rho && (!s.bulge || this.radius(s.bulge.at, theta) < rho)) return -1e3;
    if (s.bulge && this.radius(s.bulge.at, theta) >= rho) hi = s.bulge.at;
    for (let i = 0; i < 18; i++) {
      const m = (lo + hi) / 2;
      if (this.radius(m, theta) >= rho) hi = m;
      else lo = m;
    }
    return -hi;
  }

  /** Largest radius seen when looking along the axis. */
  outer(theta: number): number {
    const far = 1 + (this.spec.ovality ?? 0) * Math.cos(2 * theta);
    return Math.max(far, this.rim(theta), this.spec.bulge ? this.radius(this.spec.bulge.at, theta) : 0);
  }
}
