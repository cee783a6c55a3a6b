import type { KeyAction } from "../shell/keys.ts";
import type { Compare } from "./compare.svelte.ts";

/** Every action of the comparison and its key. */
export function compareKeys(compare: Compare): readonly KeyAction[] {
  const group = "Comparison";
  return [
    { keys: ["ArrowDown"], group, does: "next similar break", run: () => compare.step(1) },
    { keys: ["ArrowUp"], group, does: "the one before", run: () => compare.step(-1) },
    { keys: ["v"], group, does: "end-on or from the side", run: () => compare.toggleView() },
    { keys: ["h"], group, does: "hide or show the marks", run: () => void (compare.marksShown = !compare.marksShown) },
    { keys: ["+", "="], group, does: "nearer", run: () => compare.zoomBy(1.25) },
    { keys: ["-"], group, does: "farther", run: () => compare.zoomBy(0.8) },
    { keys: ["0"], group, does: "everything in sight", run: () => void (compare.zoom = 1) },
    { keys: ["o"], group, does: "open the confirmed break on its bench", run: () => compare.openOther() },
    { keys: ["b", "Escape"], group, does: "back to the bench", run: () => compare.back() },
  ];
}
