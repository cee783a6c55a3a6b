import type { KeyAction } from "../shell/keys.ts";
import type { CameraFeed } from "./camera-feed.svelte.ts";
import type { CameraSession } from "./camera-session.svelte.ts";
import type { Meter } from "./meter.svelte.ts";

export interface CameraHands {
  readonly session: CameraSession;
  readonly feed: CameraFeed;
  readonly meter: Meter;
  readonly freeze: () => void;
  readonly keep: () => void;
  readonly again: () => void;
  readonly save: () => void;
  readonly leave: () => void;
}

/** True while a button, link or slider has the focus: Space, Enter and arrows are its own then. */
function onControl(): boolean {
  const at = document.activeElement;
  return at instanceof HTMLElement && at.matches("button, a, summary, input");
}

/** Every action of the camera screen and its key. */
export function cameraKeys(hands: CameraHands): readonly KeyAction[] {
  const { session, feed, meter } = hands;
  const take = "Taking photographs";
  const look = "Camera picture";
  const unlessFrozen = (act: () => void) => () => {
    if (session.frozen !== null) return false;
    act();
    return true;
  };
  const remember = (patch: Parameters<CameraFeed["remember"]>[0]) => {
    void feed.remember(patch);
  };
  return [
    {
      keys: ["Space"],
      group: take,
      does: "freeze the picture",
      run: () => {
        if (onControl() || session.frozen !== null) return false;
        hands.freeze();
        return true;
      },
    },
    {
      keys: ["Enter"],
      group: take,
      does: "keep the frozen frame; at the end, to the bench",
      run: () => {
        if (onControl()) return false;
        if (session.frozen !== null) hands.keep();
        else if (session.at === null) hands.leave();
        else return false;
        return true;
      },
    },
    {
      keys: ["Escape"],
      group: take,
      does: "take the frozen frame again; when live, to the bench",
      run: () => {
        if (session.keeping) return false;
        if (session.frozen !== null) hands.again();
        else hands.leave();
        return true;
      },
    },
    {
      keys: ["ArrowRight", "."],
      group: take,
      does: "skip to the next view",
      run: () => !onControl() && unlessFrozen(() => session.move(1))(),
    },
    {
      keys: ["ArrowLeft", ","],
      group: take,
      does: "back to the view before",
      run: () => !onControl() && unlessFrozen(() => session.move(-1))(),
    },
    { keys: ["1"], group: take, does: "machine end", run: unlessFrozen(() => session.toSide("machine")) },
    { keys: ["2"], group: take, does: "take-up end", run: unlessFrozen(() => session.toSide("takeUp")) },
    { keys: ["v"], group: take, does: "another kind of view", run: () => session.stepView(1) },
    { keys: ["Shift+v"], group: take, does: "kind of view before", run: () => session.stepView(-1) },
    {
      keys: ["n"],
      group: take,
      does: "end not recovered, and back",
      run: unlessFrozen(() => void session.toggleRecovery()),
    },
    {
      keys: ["d"],
      group: take,
      does: "save the frozen frame as a file",
      run: () => {
        if (session.frozen === null) return false;
        hands.save();
        return true;
      },
    },
    { keys: ["b"], group: look, does: "take the mark of the best focus off", run: () => meter.forgetBest() },
    {
      keys: ["h"],
      group: look,
      does: "hatch clipped highlights, and not",
      run: () => remember({ hatch: !feed.memory.hatch }),
    },
    {
      keys: ["g"],
      group: look,
      does: "show the graticule, and not",
      run: () => remember({ graticule: !feed.memory.graticule }),
    },
  ];
}
