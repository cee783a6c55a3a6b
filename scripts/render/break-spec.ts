import type { BodySpec } from "./body.ts";
import type { BackgroundSpec } from "./background.ts";
import type { Side } from "./end-surface.ts";
import type { Face } from "./face/face.ts";
import type { LightSetup } from "./light.ts";
import type { Metal } from "./metal.ts";
import type { SectionSpec } from "./section.ts";
import type { SkinSpec } from "./skin.ts";
import type { ShotView } from "./view.ts";

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
