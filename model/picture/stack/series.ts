import { PictureError } from "../picture-error.ts";
import type { GreyImage } from "../pixels/grey.ts";
import type { Pyramid } from "./align.ts";
import { align, pyramidOf } from "./align.ts";
import type { FocusVolume } from "./focus-volume.ts";
import { CELL_PX, focusOfFrame } from "./focus-volume.ts";
import { MOST_FRAMES } from "./focus-map.ts";
import type { Placement } from "./placement.ts";
import { AT_HOME, onReference } from "./placement.ts";

/** A series laid over each other and judged for focus; no frame is kept. */
export interface FocusSeries {
  readonly volume: FocusVolume;
  /** Of each frame on the reference frame, px of the picture worked on. */
  readonly placements: readonly Placement[];
  readonly reference: number;
  /** Smallest correlation of neighbours once aligned. */
  readonly worstFit: number;
}

/** The middle frame: it differs least from all the others. */
export const referenceOf = (frames: number): number => (frames - 1) >> 1;

/** Order in which frames are read: from the middle out, so that each is laid over its neighbour. */
export function readingOrder(frames: number): readonly number[] {
  const middle = referenceOf(frames);
  const up = Array.from({ length: frames - middle }, (_, i) => middle + i);
  const down = Array.from({ length: middle }, (_, i) => middle - 1 - i);
  return [...up, ...down];
}

/**
 * Reads a focus series frame by frame.
 *
 * Memory, besides one frame at work: 4 bytes × frames × (width · height / 16) for the curves and about 5 MB for the
 * pictures that neighbours are laid over.
 *
 * @param frames – how many there are, 2 or more.
 * @param greyOfFrame – reads one frame, always of the same size; asked for in `readingOrder`, once each.
 * @param onFrame – after each frame, with how many are done.
 * @throws PictureError frames-do-not-fit for too few or too many, other sizes or another place.
 */
export async function readSeries(
  frames: number,
  greyOfFrame: (index: number) => Promise<GreyImage> | GreyImage,
  onFrame: (done: number) => void = () => undefined,
): Promise<FocusSeries> {
  if (frames < 2) throw new PictureError("frames-do-not-fit", "A stack needs at least two frames.");
  if (frames > MOST_FRAMES)
    throw new PictureError("frames-do-not-fit", `A stack takes at most ${String(MOST_FRAMES)} frames.`);
  const reference = referenceOf(frames);
  const cells: Float32Array[] = [];
  const placements: Placement[] = [];
  let size: { widthPx: number; heightPx: number } | null = null;
  let home: Pyramid | null = null;
  let before: { readonly pyramid: Pyramid; readonly placement: Placement } | null = null;
  let worstFit = 1;
  let done = 0;
  for (const k of readingOrder(frames)) {
    const grey = await greyOfFrame(k);
    size ??= { widthPx: grey.widthPx, heightPx: grey.heightPx };
    if (size.widthPx !== grey.widthPx || size.heightPx !== grey.heightPx)
      throw new PictureError("frames-do-not-fit", `Frame ${String(k + 1)} has another size than the others.`);
    const pyramid = pyramidOf(grey);
    let placement = AT_HOME;
    if (before === null) home = pyramid;
    else {
      // Going down begins again at the reference.
      const onto = k === reference - 1 && home !== null ? { pyramid: home, placement: AT_HOME } : before;
      const found = placedOn(pyramid, onto.pyramid, grey.widthPx, k);
      placement = onReference(found.placement, onto.placement);
      worstFit = Math.min(worstFit, found.correlation);
    }
    before = { pyramid, placement };
    placements[k] = placement;
    cells[k] = focusOfFrame(grey, placement);
    onFrame(++done);
  }
  const { widthPx, heightPx } = size!;
  const [columns, rows] = [Math.floor(widthPx / CELL_PX), Math.floor(heightPx / CELL_PX)];
  return { volume: { columns, rows, widthPx, heightPx, frames: cells }, placements, reference, worstFit };
}

function placedOn(frame: Pyramid, onto: Pyramid, widthPx: number, k: number): ReturnType<typeof align> {
  try {
    return align(frame, onto, widthPx);
  } catch (error) {
    if (!(error instanceof PictureError)) throw error;
    const sentence = `Frame ${String(k + 1)} does not show the same place as the frame beside it.`;
    throw new PictureError("frames-do-not-fit", sentence);
  }
}
