import type { Drawing } from "./drawing.ts";
import type { Gestures } from "./gestures.ts";
import type { KeyTarget } from "./keys.ts";
import type { Scene } from "./scene.ts";
import type { SelectedMark } from "./selected-mark.ts";
import type { EndStageApi, StepUnit } from "./types.ts";
import type { Viewing } from "./viewing.ts";

const ZOOM_STEP = 1.25;

/** What keys need of a stage. */
export interface KeyParts {
  readonly stage: EndStageApi;
  readonly viewing: Viewing;
  readonly drawing: Drawing;
  readonly selected: SelectedMark;
  readonly scene: Scene;
  readonly gestures: Gestures;
  /** Moves the selected mark without committing. @returns false when there is nothing to move. */
  nudge(dx: number, dy: number, unit: StepUnit): boolean;
  /** Selects and tells the caller. */
  select(id: string | null): void;
  cancelled(discarded: boolean): void;
  focusChanged(): void;
}

/** What each key does on a stage. */
export function keyHands(parts: KeyParts): KeyTarget {
  const { stage, viewing, drawing, selected, scene, gestures } = parts;
  return {
    arrow: (dx, dy, unit) => {
      if (!parts.nudge(dx, dy, unit)) stage.cursor.move(dx, dy, unit);
    },
    arrowsReleased: () => selected.endKeys(),
    place: () => stage.cursor.place(),
    enter: () => {
      if (drawing.canFinish) stage.finish();
      else stage.cursor.place();
    },
    takeBack: () => stage.takeBack(),
    // Escape gives up one thing at a time: the unfinished shape, else the selection.
    escape: () => {
      const discarded = stage.cancel();
      const isMine = discarded || drawing.tool !== null || selected.id !== null;
      if (!discarded && drawing.tool === null) parts.select(null);
      parts.cancelled(discarded);
      return isMine;
    },
    stepHandle: (direction) => {
      const isMine = selected.handles.length > 0;
      if (isMine) stage.stepHandle(direction);
      return isMine;
    },
    zoomStep: (direction) => {
      stage.zoomBy(ZOOM_STEP ** direction, scene.cursor === null ? undefined : viewing.stageAt(scene.cursor));
    },
    fit: () => stage.fit(),
    panKey: (isHeld) => gestures.holdPanKey(isHeld),
    get panKeyUsed() {
      return gestures.pannedWithKey;
    },
    focusChanged: () => parts.focusChanged(),
  };
}
