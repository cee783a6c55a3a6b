import type { FaceFit } from "../../break/wire-break.ts";
import { FLAT_RADIUS } from "./flat-face.ts";
import type { Laid } from "./lay-faces.ts";
import type { RippleMap, Ripples } from "./ripples.ts";

export interface FaceReading {
  /** Mean share of the finest ripples that keep step in all directions, 0–1: near 0 for strangers. */
  readonly score: number;
  readonly says: FaceFit["says"];
  /** The reason, in a plain sentence. */
  readonly why: string;
}

/**
 * Where the readings part, set on rendered pairs so that all of the pairs of one break score above `apart` and all
 * strangers below `together`; what lies between stays open.
 */
const LIMITS = {
  together: 0.205,
  apart: 0.165,
  /** Agreement of coarse ripples (12 and 8 px) that strangers of one type hardly reach: then nothing is ruled out. */
  coarse: [0.05, 0.035],
  /** Strength of the finest ripples below which a face is blurred, too small or smooth, log10. */
  fine: -2.5,
  /** Finest ripples this much stronger than the next coarser are the noise of the camera, log10. */
  noise: 0.15,
} as const;

/** Mean strength of ripples over a face, log10. */
const strength = (maps: readonly RippleMap[]): number => {
  let sum = 0;
  for (const { re, im } of maps) for (let i = 0; i < re.length; i++) sum += re[i]! ** 2 + im[i]! ** 2;
  return Math.log10(sum / (maps.length * Math.PI * FLAT_RADIUS ** 2) + 1e-12);
};

/** Why a face cannot speak against belonging together; null = it can. */
function tooLittle(faces: readonly Ripples[]): string | null {
  const fine = faces.map((ripples) => strength(ripples.at(-1)!));
  if (Math.min(...fine) < LIMITS.fine)
    return "One of the faces shows too little fine texture: it is smooth, out of focus or taken too small.";
  if (faces.some((ripples, i) => fine[i]! - strength(ripples.at(-2)!) > LIMITS.noise))
    return "One of the photographs is so noisy that its fine texture cannot be told from noise.";
  return null;
}

/**
 * What a laying means. That faces agree is said wherever it shows; that they do not is only said of faces that carry
 * enough texture for a partner to be known by.
 */
export function readFaces({ broad }: Laid, first: Ripples, second: Ripples): FaceReading {
  const score = Math.min(1, Math.sqrt(Math.max(0, broad.at(-1) ?? 0)));
  if (score >= LIMITS.together)
    return {
      score,
      says: "belong-together",
      why: "Edges, grains and ridges of both faces keep step all over the face and in all directions.",
    };
  const poor = tooLittle([first, second]);
  if (poor !== null) return { score, says: "cannot-tell", why: poor };
  const [middle = 0, fine = 0] = broad.slice(1);
  if (score > LIMITS.apart || middle > LIMITS.coarse[0] || fine > LIMITS.coarse[1])
    return {
      score,
      says: "cannot-tell",
      why: "Coarse shapes agree and the fine texture hardly does: alike, but not shown to be one break.",
    };
  return {
    score,
    says: "do-not-fit",
    why: "At no turn does the texture of one face keep step with the other, though both show enough of it. A face that was melted, rubbed or eaten away since the break shows nothing of its partner.",
  };
}
