import type { FeatureId } from "../../../model/evidence/features.ts";
import type { BodySpec } from "../body.ts";
import type { SheetFeature } from "../demo/demo-break.ts";
import type { EndMarker } from "../end-marker.ts";
import type { Side } from "../end-surface.ts";
import type { Face } from "../face/face.ts";
import type { Metal } from "../metal.ts";
import type { SkinSpec } from "../skin.ts";
import type { Draw } from "./draw.ts";

/** A closed line on the face in rim radii, in the machine end's (u, v). */
export type FaceEdge = readonly (readonly [u: number, v: number])[];

/** What is known for certain about a face, beside what its height field shows. */
export interface FaceFacts {
  /** Hole that looks out of an end: a cavity, the hollow a cone left, the socket of a particle. */
  readonly hole?: Partial<
    Readonly<Record<Side, { readonly kind: "cavity" | "hollow" | "socket"; readonly edge: FaceEdge }>>
  >;
  /** Cone that stands on one end: base in rim radii, angle of the flank to the axis. */
  readonly cone?: { readonly side: Side; readonly base: number; readonly flankDeg: number };
  /** Where the slanting rim begins. */
  readonly lipInner?: FaceEdge;
}

/** What makes a break of its type, before anyone photographs it. */
export interface Part {
  readonly story: string;
  readonly grade: string;
  readonly metal: Metal["name"];
  readonly body: BodySpec;
  readonly face: Face;
  readonly takeUpFace?: Face;
  readonly skin: Omit<SkinSpec, "seed" | "lines">;
  /** Strength of the draw lines. */
  readonly lines?: number;
  readonly facts: FaceFacts;
  readonly context: Readonly<Record<string, unknown>>;
  /** How far the face stands out of the rim at most, wire radii. */
  readonly ahead?: number;
  readonly marks: (end: EndMarker) => readonly SheetFeature[];
}

export type PartMaker = (d: Draw, seed: number) => Part;

/** An alloy as a sheet names it, with the reduction of area of sound wire in tension, percent. */
export interface Alloy {
  readonly metal: Metal["name"];
  readonly grade: string;
  readonly ra: readonly [number, number];
}

/** Common practice, no source: ranges as a trade table gives them. */
export const ALLOYS = {
  copperSoft: { metal: "copper", grade: "ETP copper, soft", ra: [80, 90] },
  copperHard: { metal: "copper", grade: "ETP copper, hard", ra: [56, 80] },
  oxygenFree: { metal: "copper", grade: "oxygen-free copper, hard", ra: [62, 84] },
  aluminium: { metal: "aluminium", grade: "1350 aluminium, hard", ra: [52, 76] },
  aluminiumAlloy: { metal: "aluminium", grade: "6201 aluminium alloy", ra: [46, 64] },
  hardAlloy: { metal: "aluminium", grade: "5056 aluminium alloy, H38", ra: [30, 46] },
  lowCarbon: { metal: "steel", grade: "0.08 % C steel, drawn", ra: [52, 72] },
  midCarbon: { metal: "steel", grade: "0.45 % C steel", ra: [44, 58] },
  highCarbon: { metal: "steel", grade: "0.80 % C pearlitic steel, drawn", ra: [32, 52] },
} as const satisfies Readonly<Record<string, Alloy>>;

/** Neck ratio of a break that used this share of the wire's own reduction of area. */
export const neckOf = (refRaPct: number, share: number): number => Math.sqrt(1 - (refRaPct / 100) * share);

/** A ring round a place of the face. @param radius – by direction, in the same unit as the middle. */
export function ringAt(radius: (theta: number) => number, cu = 0, cv = 0, steps = 72): FaceEdge {
  return Array.from({ length: steps }, (_, i): [number, number] => {
    const a = (2 * Math.PI * i) / steps;
    return [cu + radius(a) * Math.cos(a), cv + radius(a) * Math.sin(a)];
  });
}

/** Features looked for and not found; each is forgotten on an end now and then, as in a real lab. */
export function lookedFor(d: Draw, ...features: readonly FeatureId[]): (end: EndMarker) => readonly SheetFeature[] {
  const keep = features.map((f) => ({ f, machine: !d.chance(0.12), takeUp: !d.chance(0.12) }));
  return (end) => end.absent(...keep.filter((k) => (end.machine ? k.machine : k.takeUp)).map((k) => k.f));
}

/** A fact that is known on some breaks only. */
export const maybe = (
  d: Draw,
  p: number,
  facts: Readonly<Record<string, unknown>>,
): Readonly<Record<string, unknown>> => (d.chance(p) ? facts : {});

/** A start at the skin, on the side that the 0° view shows, so that its mark on the skin is in a picture. */
export const startAngle = (d: Draw): number => d.sign() * d.between(1.85, 2.5);

export const round = (v: number, places: number): number => Math.round(v * 10 ** places) / 10 ** places;
