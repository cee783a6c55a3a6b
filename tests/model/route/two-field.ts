/**
 * Two-field upper bound: rigid cores before and behind, a conical ring of flow between them, and a disc of radius `a`
 * on the axis where the cores may part. Derived for this project after the idea of Avitzur (1968), not his formula.
 *
 * Kept beside the tests on purpose. It condemns nearly every commercial pass, so the product must not judge by it;
 * its numbers only show that the derivation was followed.
 *
 * Lengths in exit radii, speeds in exit speed, power over π times flow stress.
 */
const SQRT3 = Math.sqrt(3);

/** Nodes and weights of 24-point Gauss-Legendre on 0–1, by Newton's iteration on the Legendre polynomial. */
const GAUSS = (() => {
  const n = 24;
  return Array.from({ length: n }, (_, i) => {
    let x = Math.cos((Math.PI * (i + 0.75)) / (n + 0.5));
    let slope = 0;
    for (let k = 0; k < 50; k++) {
      let [p0, p1] = [1, x];
      for (let j = 2; j <= n; j++) [p0, p1] = [p1, ((2 * j - 1) * x * p1 - (j - 1) * p0) / j];
      slope = (n * (x * p1 - p0)) / (x * x - 1);
      x -= p1 / slope;
    }
    return { x: (x + 1) / 2, w: 1 / ((1 - x * x) * slope * slope) };
  });
})();
/** Integral over 0–1, split into parts because the fields bend sharply near the disc. */
const integral = (f: (t: number) => number, parts = 6): number => {
  let sum = 0;
  for (let p = 0; p < parts; p++) for (const { x, w } of GAUSS) sum += (w * f((p + x) / parts)) / parts;
  return sum;
};

export interface TwoField {
  readonly alpha: number;
  readonly r: number;
  readonly m: number;
  /** Disc radius over exit radius; 0 is the touching, triangular field. */
  readonly a: number;
  /** Position of the apex or of the disc on the axis, before the cone's apex side, over exit radius. */
  readonly zP: number;
}

export function twoFieldStress({ alpha, r, m, a, zP }: TwoField): number {
  const rho = 1 / Math.sqrt(1 - r);
  const [sin, cos] = [Math.sin(alpha), Math.cos(alpha)];
  const v0 = (1 - a * a) / (rho * rho - a * a);
  const n = (rho - a) * cos - zP * sin;
  const slope = (v0 * (rho - a) ** 2) / n ** 2;
  const at = (t: number) => {
    const R2 = a + (rho - a) * t;
    const R1 = Math.sqrt(a * a + v0 * (R2 * R2 - a * a));
    return { R2, R1, g: (v0 * R2 * (rho - a)) / n };
  };
  const jump = (u: number, v: number) => Math.hypot(u * sin, u * cos - v);
  let power = 0;
  // Ring: streamlines run parallel to the cone, so only stretching along them and shear across them work.
  power += integral((t) => {
    const { R2, R1, g } = at(t);
    const length = (R2 - R1) / sin;
    return integral((s) => {
      const R = R2 - s * (R2 - R1);
      const stretch = (g / R ** 2) * sin;
      const shear = slope / R - (g / R ** 2) * cos;
      return Math.sqrt((2 / 3) * (2 * stretch ** 2 + shear ** 2 / 2)) * 2 * R * length * n;
    }, 1);
  });
  power += integral((t) => {
    const { R2, g } = at(t);
    return (jump(g / R2, v0) / SQRT3) * 2 * R2 * Math.hypot(rho - a, zP);
  });
  power += integral((t) => {
    const { R2, R1, g } = at(t);
    const dR1 = (v0 * R2 * (rho - a)) / R1;
    const dz1 = -zP + (rho - a - dR1) / Math.tan(alpha);
    return (jump(g / R1, 1) / SQRT3) * 2 * R1 * Math.hypot(dR1, dz1);
  });
  const { g } = at(1);
  return power + (2 * m * g * ((rho - 1) / sin)) / SQRT3;
}

function least(f: (x: number) => number, low: number, high: number): number {
  const golden = (Math.sqrt(5) - 1) / 2;
  let [a, b] = [low, high];
  for (let i = 0; i < 40; i++) {
    const [x, y] = [b - golden * (b - a), a + golden * (b - a)];
    if (f(x) < f(y)) b = y;
    else a = x;
  }
  return f((a + b) / 2);
}

/** Load of the best field with a disc, and with none. */
function best(alpha: number, r: number, m: number, a: number): number {
  const rho = 1 / Math.sqrt(1 - r);
  const most = ((rho - a) * Math.cos(alpha)) / Math.sin(alpha);
  return least((zP) => twoFieldStress({ alpha, r, m, a, zP }), -0.5 * most, 0.95 * most);
}

/** Reduction below which a disc of 0.1 exit radii lowers the load; in extrusion the billet's change of speed counts. */
export function twoFieldBoundary(alpha: number, m: number, process: "draw" | "extrude"): number {
  const a = 0.1;
  const opens = (r: number) => {
    const rho2 = 1 / (1 - r);
    const v0 = (1 - a * a) / (rho2 - a * a);
    const billet = process === "draw" ? 1 : 1 / (rho2 * v0);
    return best(alpha, r, m, a) * billet < best(alpha, r, m, 0);
  };
  let [low, high] = [0.05, 0.6];
  for (let i = 0; i < 14; i++) {
    const mid = (low + high) / 2;
    if (opens(mid)) low = mid;
    else high = mid;
  }
  return (low + high) / 2;
}
