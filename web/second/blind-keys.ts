import { benchKeys } from "../bench/bench-keys.ts";
import type { StageLink } from "../bench/stage-link.ts";
import type { KeyAction } from "../shell/keys.ts";
import type { BlindReading } from "./blind-reading.svelte.ts";
import type { BlindDesk } from "./blind-desk.svelte.ts";

/** Keys of the bench that change nothing but own marks and the way it is looked at. */
const OF_THE_BENCH: ReadonlySet<string> = new Set(
  "1 2 v Shift+v z g + - 0 r Shift+r m x j . , d Delete h f l Shift+l Ctrl+z Ctrl+Shift+z Escape".split(" "),
);

export function blindKeys(
  reading: BlindReading,
  desk: BlindDesk,
  link: StageLink,
  focusType: () => void,
): readonly KeyAction[] {
  const group = "This reading";
  return [
    ...benchKeys(desk, link)
      .filter(({ keys: [first] }) => first !== undefined && OF_THE_BENCH.has(first))
      .map((action) => (action.keys[0] === "d" ? { ...action, does: "draw the selected mark again" } : action)),
    { keys: ["c"], group, does: "state the break type", run: focusType },
    {
      keys: ["Ctrl+Enter"],
      group,
      does: "finish the reading",
      whileTyping: true,
      run: () => void reading.finish(),
    },
    { keys: ["y"], group, does: "put it back and read another first", run: () => void reading.later() },
    {
      keys: ["q"],
      group,
      does: "to the queue",
      run: () => reading.app.go({ screen: "second", breakId: null }),
    },
  ];
}
