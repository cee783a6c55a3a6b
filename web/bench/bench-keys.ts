import type { KeyAction } from "../shell/keys.ts";
import type { Desk } from "./desk.svelte.ts";
import type { StageLink } from "./stage-link.ts";

/** Every action of the bench and its key; the same list feeds the list of keys. */
export function benchKeys(desk: Desk, link: StageLink): readonly KeyAction[] {
  const view = desk.view;
  const ends = "Ends and views";
  const marks = "Marks";
  const breaks = "This break";
  return [
    { keys: ["1"], group: ends, does: "machine end", run: () => focusEnd(desk, link, "machine") },
    { keys: ["2"], group: ends, does: "take-up end", run: () => focusEnd(desk, link, "takeUp") },
    { keys: ["v"], group: ends, does: "next view of this end", run: () => view.step(desk.record, view.side, 1) },
    { keys: ["Shift+v"], group: ends, does: "view before", run: () => view.step(desk.record, view.side, -1) },
    {
      keys: ["z"],
      group: ends,
      does: "this end over the full width",
      run: () => void (view.large = view.large === null ? view.side : null),
    },
    { keys: ["g"], group: ends, does: "zoom and move both ends together", run: () => link.setTogether(!view.together) },
    { keys: ["+", "="], group: ends, does: "nearer", run: () => link.stage()?.zoomBy(1.25) },
    { keys: ["-"], group: ends, does: "farther", run: () => link.stage()?.zoomBy(0.8) },
    { keys: ["0"], group: ends, does: "whole picture", run: () => link.stage()?.fit() },
    { keys: ["r"], group: ends, does: "turn the picture by 90°", run: () => desk.turn(90) },
    { keys: ["Shift+r"], group: ends, does: "turn it back", run: () => desk.turn(-90) },
    { keys: ["n"], group: ends, does: "end not recovered, and back", run: () => desk.toggleRecovery() },
    {
      keys: ["k"],
      group: ends,
      does: "take photographs by camera",
      run: () => desk.app.go({ screen: "camera", breakId: desk.record.id, side: view.side }),
    },
    {
      keys: ["o"],
      group: ends,
      does: "file this photograph under the other end",
      run: () => {
        const p = desk.photograph();
        if (p === null) return false;
        desk.moveToOtherEnd(p.id);
        return true;
      },
    },
    { keys: ["Ctrl+Alt+x"], group: ends, does: "swap the ends", run: () => void desk.do({ kind: "swap-ends" }) },
    { keys: ["m"], group: marks, does: "mark a feature that is seen", run: () => desk.openPalette("present") },
    { keys: ["x"], group: marks, does: "looked for and absent", run: () => desk.openPalette("absent") },
    { keys: ["j"], group: marks, does: "cannot be assessed", run: () => desk.openPalette("not_assessable") },
    { keys: ["a"], group: marks, does: "take the proposed mark", run: () => takeProposed(desk, "one") },
    { keys: ["Shift+a"], group: marks, does: "take all marks proposed here", run: () => takeProposed(desk, "all") },
    { keys: ["u"], group: marks, does: "turn the proposed mark down", run: () => turnDownProposed(desk) },
    { keys: ["i"], group: marks, does: "look for marks on this photograph again", run: () => lookAgain(desk) },
    { keys: ["."], group: marks, does: "next mark of this end", run: () => stepMark(desk, 1) },
    { keys: [","], group: marks, does: "mark before", run: () => stepMark(desk, -1) },
    {
      keys: ["d"],
      group: marks,
      does: "draw the selected or proposed mark yourself",
      run: () => {
        const mark = desk.selectedMark;
        const proposed = desk.proposing.current();
        if (mark === null && proposed !== null && desk.editable) {
          desk.proposing.redraw(proposed);
          return true;
        }
        if (mark === null || mark.geometry === null) return false;
        view.drawing = { kind: "redraw", markId: mark.id, geometry: mark.geometry.type };
        return true;
      },
    },
    { keys: ["Delete", "Backspace"], group: marks, does: "remove the selected mark", run: () => desk.removeSelected() },
    { keys: ["h"], group: marks, does: "hide or show the marks", run: () => void (view.marksShown = !view.marksShown) },
    { keys: ["f"], group: breaks, does: "facts about wire and process", run: () => void (view.panel = "facts") },
    { keys: ["s"], group: breaks, does: "scale of this photograph", run: () => void (view.panel = "scale") },
    { keys: ["l"], group: ends, does: "light of this photograph", run: () => toggleLight(desk) },
    { keys: ["Shift+l"], group: ends, does: "hold: as it was taken", run: () => desk.seeing.compare() },
    { keys: ["b"], group: ends, does: "both faces laid over each other", run: () => void (view.panel = "faces") },
    {
      keys: ["e"],
      group: ends,
      does: "depth: put frames of different focus together",
      run: () => {
        if (desk.photograph() === null) return false;
        view.panel = "depth";
        return true;
      },
    },
    { keys: ["c"], group: breaks, does: "confirm the break type", run: () => void (view.panel = "confirm") },
    {
      keys: ["p"],
      group: breaks,
      does: "to the sheet",
      run: () => desk.app.go({ screen: "sheet", breakId: desk.record.id }),
    },
    {
      keys: ["t"],
      group: breaks,
      does: "route of this break",
      run: () => desk.app.go({ screen: "route", breakId: desk.record.id }),
    },
    {
      keys: ["w"],
      group: breaks,
      does: "beside the most similar confirmed breaks",
      run: () => desk.app.go({ screen: "compare", breakId: desk.record.id, otherId: null }),
    },
    {
      keys: ["q"],
      group: breaks,
      does: "what earlier breaks say",
      run: () => void (view.earlierOpen = !view.earlierOpen),
    },
    { keys: ["Ctrl+z"], group: breaks, does: "undo", run: () => void desk.undo() },
    { keys: ["Ctrl+Shift+z", "Ctrl+y"], group: breaks, does: "redo", run: () => void desk.redo() },
    {
      keys: ["Escape"],
      group: marks,
      does: "leave the tool or the selection",
      run: () => {
        if (view.drawing === null && view.selected === null) return false;
        view.drawing = null;
        view.selected = null;
        return true;
      },
    },
  ];
}

function focusEnd(desk: Desk, link: StageLink, side: "machine" | "takeUp"): void {
  desk.view.side = side;
  if (desk.view.large !== null) desk.view.large = side;
  link.stage(side)?.focus();
}

function stepMark(desk: Desk, by: 1 | -1): boolean {
  const list = desk.record.ends[desk.view.side].marks;
  if (list.length === 0) return false;
  const at = list.findIndex((m) => m.id === desk.view.selected);
  const next = list[(at + by + list.length) % list.length];
  if (next) desk.select(next.id);
  return true;
}

function toggleLight(desk: Desk): boolean {
  if (desk.photograph() === null) return false;
  desk.view.panel = desk.view.panel === "seeing" ? "none" : "seeing";
  return true;
}

function takeProposed(desk: Desk, which: "one" | "all"): boolean {
  const side = desk.view.side;
  const one = desk.proposing.current();
  if (one === null || !desk.editable) return false;
  return desk.proposing.take(side, which === "one" ? [one] : desk.proposing.waiting(side, desk.photograph(side)));
}

function turnDownProposed(desk: Desk): boolean {
  const one = desk.proposing.current();
  return one !== null && desk.editable && desk.proposing.turnDown(one);
}

function lookAgain(desk: Desk): boolean {
  const photograph = desk.photograph();
  if (photograph === null || !desk.editable) return false;
  void desk.proposing.look(desk.view.side, photograph, true);
  return true;
}
