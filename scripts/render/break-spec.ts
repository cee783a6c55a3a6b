import type { BodySpec } from "./body.ts";
import type { CameraSetup } from "./develop.ts";
import type { BackgroundSpec } from "./background.ts";
import type { Side } from "./end-surface.ts";
import type { Face } from "./face/face.ts";
import type { LightSetup } from "./light.ts";
import type { Metal } from "./metal.ts";
import type { SectionSpec } from "./section.ts";
import type { SkinSpec } from "./skin.ts";
import type { ShotView } from "./view.ts";

/** Where a wire lies that was put down freely, not squared up with the picture. */
export interface Placing {
  /** Turn in the picture, degrees clockwise, any angle: of the wire's axis in side views, of the end about its axis end-on. */
  readonly turnDeg: number;
  /**
   * Place of the break, as shares. End-on: shift of the wire's middle from the middle of the picture, in picture widths
   * and heights. Side view: along the axis from the middle toward the picture's edge, and across it in wire radii.
   */
  readonly along: number;
  readonly aside: number;
  /** Side view: how far the broken face stands out, and how much wire must be seen behind the break, wire radii. */
  readonly ahead: number;
  readonly behind: number;
  /** End-on: magnification against the break's own, at most 1. */
  readonly zoom: number;
}

/** Shadow of the wire on the card, px at full size. */
export interface Shadow {
  readonly x: number;
  readonly y: number;
  readonly soft: number;
  readonly strength: number;
}

/** One photograph to be made. */
export interface Shot {
  readonly file: string;
  readonly side: Side;
  readonly view: ShotView;
  /** EXIF orientation; the pixels are stored turned to suit. */
  readonly orientation: 1 | 3 | 6 | 8;
  /** Length of a burned-in scale bar, mm. */
  readonly barMm?: number;
  readonly light?: LightSetup;
  /** Wire diameter in the picture, as a share of its height. */
  readonly fill?: number;
  /** Left out: squared up, a little off as by hand. */
  readonly placing?: Placing;
  /** Wins over the ground of the break. */
  readonly background?: Partial<BackgroundSpec>;
  readonly shadow?: Shadow;
  readonly camera?: Partial<CameraSetup>;
  /** Mean light of the wire that the exposure is set to; left out: the exposure of the break. */
  readonly meter?: number;
}

/** Everything the pixels of one break depend on. */
export interface BreakLook {
  readonly number: string;
  readonly seed: number;
  readonly metal: Metal["name"];
  readonly wireMm: number;
  readonly body: BodySpec;
  readonly face: Face;
  /** Only where the two pieces do not belong to one break surface. */
  readonly takeUpFace?: Face;
  readonly skin: SkinSpec;
  readonly section?: SectionSpec;
  readonly background?: Partial<BackgroundSpec>;
  readonly exposure?: number;
  readonly shots: readonly Shot[];
}
