import type { KeyAction } from "../shell/keys.ts";
import type { DifferenceDesk } from "./difference.svelte.ts";

/** @param form where it is settled, while it can be. */
export function differenceKeys(desk: DifferenceDesk, form: () => HTMLElement | undefined): readonly KeyAction[] {
  const group = "Two readings";
  const { app } = desk;
  return [
    { keys: ["v"], group, does: "the next view of both ends", run: () => desk.nextView() },
    {
      keys: ["o"],
      group,
      does: "both readings on one picture, and back",
      run: () => void (desk.overlaid = !desk.overlaid),
    },
    {
      keys: ["c"],
      group,
      does: "settle it",
      run: () => {
        const first = form()?.querySelector<HTMLElement>("input, select");
        if (!first) return false;
        first.focus();
      },
    },
    {
      keys: ["Ctrl+Enter"],
      group,
      does: "settle it as chosen",
      whileTyping: true,
      run: () => {
        if (desk.resolving === null || app.mode === "reader") return false;
        desk.settle();
      },
    },
    {
      keys: ["b"],
      group,
      does: "open the break on the bench",
      run: () => app.go({ screen: "bench", breakId: desk.record.id }),
    },
    {
      keys: ["q"],
      group,
      does: "back to the disagreements",
      run: () => app.go({ screen: "readers", breakId: null }),
    },
  ];
}
