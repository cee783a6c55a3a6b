import type { StagePoint } from "./transform.ts";

/** A label that wants a place beside its mark; stage pixels. */
export interface LabelWish {
  readonly id: string;
  /** Box of the mark on the stage. */
  readonly left: number;
  readonly right: number;
  readonly middleY: number;
  readonly width: number;
  /** Must be shown even where it covers others. */
  readonly must: boolean;
}

export interface PlacedLabel {
  readonly id: string;
  readonly x: number;
  readonly y: number;
  readonly width: number;
}

export const LABEL_HEIGHT = 22;
const GAP = 10;
const ROW = LABEL_HEIGHT + 2;
/** A label that finds no room within so many rows is left out: a far label would name the wrong mark. */
const MOST_ROWS = 5;
/** Room kept free round the pointer so that no label hides what is pointed at. */
const POINTER_ROOM = 18;

/** True when the pointer is on a label or so near that its arrow would be hidden. */
export function isNearLabel(pointer: StagePoint, label: Pick<PlacedLabel, "x" | "y" | "width">): boolean {
  const [x, y] = pointer;
  return (
    x > label.x - POINTER_ROOM &&
    x < label.x + label.width + POINTER_ROOM &&
    y > label.y - POINTER_ROOM &&
    y < label.y + LABEL_HEIGHT + POINTER_ROOM
  );
}

/**
 * Places labels beside their marks, right first, then left; downwards while occupied. Wishes are served in order.
 *
 * @returns the labels that found room; those that must be shown always do.
 */
export function placeLabels(
  wishes: readonly LabelWish[],
  stage: { readonly widthPx: number; readonly heightPx: number },
  pointer: StagePoint | null,
): readonly PlacedLabel[] {
  const placed: PlacedLabel[] = [];
  const isFree = (x: number, y: number, width: number): boolean => {
    if (x < 0 || y < 0 || x + width > stage.widthPx || y + LABEL_HEIGHT > stage.heightPx) return false;
    if (pointer !== null && isNearLabel(pointer, { x, y, width })) return false;
    return placed.every((o) => x >= o.x + o.width + 2 || x + width + 2 <= o.x || y >= o.y + ROW || y + ROW <= o.y);
  };
  for (const wish of wishes) {
    const sides = [wish.right + GAP, wish.left - GAP - wish.width];
    let spot: readonly [number, number] | null = null;
    for (let row = 0; row <= MOST_ROWS && spot === null; row++)
      for (const x of sides) {
        const y = wish.middleY - LABEL_HEIGHT / 2 + row * ROW;
        if (spot === null && isFree(x, y, wish.width)) spot = [x, y];
      }
    if (spot === null && wish.must) {
      const x = Math.min(Math.max(4, wish.right + GAP), Math.max(4, stage.widthPx - wish.width - 4));
      const y = Math.min(Math.max(4, wish.middleY - LABEL_HEIGHT / 2), Math.max(4, stage.heightPx - LABEL_HEIGHT - 4));
      spot = [x, y];
    }
    if (spot !== null) placed.push({ id: wish.id, x: spot[0], y: spot[1], width: wish.width });
  }
  return placed;
}
