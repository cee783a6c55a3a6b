import type { StagePoint } from "./transform.ts";

/** A label that wants a place beside its mark; stage pixels. */
export interface LabelWish {
  readonly id: string;
  /** Box of the mark on the stage. */
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
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
 * Places labels beside their marks, right first, then left, downwards while occupied; then above, below and just
 * inside, for marks as wide as the stage. Wishes are served in order.
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
    const middleY = (wish.top + wish.bottom) / 2;
    const centred = Math.min(Math.max(4, (wish.left + wish.right - wish.width) / 2), stage.widthPx - wish.width - 4);
    const beside = [wish.right + GAP, wish.left - GAP - wish.width];
    const rows = Array.from({ length: MOST_ROWS + 1 }, (_, row) => middleY - LABEL_HEIGHT / 2 + row * ROW);
    const along = [wish.top - LABEL_HEIGHT - 4, wish.bottom + 4, wish.top + 6, wish.bottom - LABEL_HEIGHT - 6];
    const places: (readonly [number, number])[] = [
      ...rows.flatMap((y) => beside.map((x) => [x, y] as const)),
      ...along.map((y) => [centred, y] as const),
    ];
    let spot = places.find(([x, y]) => isFree(x, y, wish.width)) ?? null;
    if (spot === null && wish.must) {
      const x = Math.min(Math.max(4, wish.right + GAP), Math.max(4, stage.widthPx - wish.width - 4));
      const y = Math.min(Math.max(4, middleY - LABEL_HEIGHT / 2), Math.max(4, stage.heightPx - LABEL_HEIGHT - 4));
      spot = [x, y];
    }
    if (spot !== null) placed.push({ id: wish.id, x: spot[0], y: spot[1], width: wish.width });
  }
  return placed;
}
