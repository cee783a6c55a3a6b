import type { ProposedMark } from "../../break/wire-break.ts";
import type { Raster } from "../pixels/grey.ts";

/** What the finders of proposed marks are given. */
export interface ProposeInput {
  /** Upright; may be a smaller copy of the photograph. */
  readonly raster: Raster;
  readonly view: "end_on" | "side";
  /** Pixels of the raster per millimetre; null = unknown. */
  readonly pxPerMm: number | null;
  /** Known wire diameter, mm; null = unknown. */
  readonly wireMm: number | null;
}

/** What was found. All geometry in px of the raster. Unsure means left out: an empty list is an answer. */
export interface Proposals {
  readonly marks: readonly ProposedMark[];
  /** Direction of the wire axis from the wire toward the break, degrees from +x toward +y; null = not found. */
  readonly axisDeg: number | null;
  /** Plain sentence when nothing could be proposed; null otherwise. */
  readonly says: string | null;
}
