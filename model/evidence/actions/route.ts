import type { EndRole, Observations } from "../observations.ts";
import { nothingLearned, outcome, type Action } from "./action.ts";
import { withContext } from "./edits.ts";

const withRoles = (o: Observations, roles: readonly EndRole[]): Observations => ({
  ...o,
  ends: o.ends.map((end, i) => ({ ...end, role: roles[i] ?? end.role })),
});

/** Actions about the route: they settle where a burst was born, not what it is. */
export const ROUTE_ACTIONS: readonly Action[] = [
  {
    id: "which-end-stayed",
    text: () => "Ask which of the two ends stayed in the machine.",
    open: (_o, w) => w.verdict === "central_burst" && w.sight.ends.some((e) => e.role === "unknown"),
    outcomes: () => [
      outcome("the first", {}, 0.4, (o) => withRoles(o, ["machine", "spool"])),
      outcome("the second", {}, 0.4, (o) => withRoles(o, ["spool", "machine"])),
      nothingLearned("nobody knows", 0.2),
    ],
  },
  {
    id: "draw-direction",
    text: () =>
      "Ask for the draw direction and the number of re-spoolings since the rod (in-line transfers and flipped coils do not count).",
    open: (o, w) =>
      w.verdict === "central_burst" &&
      (!o.context.drawDirectionKnown || (o.context.reversals === null && o.context.transfers === null)),
    outcomes: () => [
      outcome("both are known", {}, 0.8, (o) =>
        withContext(o, { drawDirectionKnown: true, reversals: o.context.reversals ?? 0 }),
      ),
      nothingLearned("nobody knows", 0.2),
    ],
  },
  {
    id: "which-end-led",
    text: () => "Ask which end of the coil or spool led at pay-off, machine by machine.",
    open: (o, w) => w.verdict === "central_burst" && o.context.whichEndLeads === null,
    outcomes: () => [
      outcome("it is known", {}, 0.7, (o) => withContext(o, { whichEndLeads: "known" })),
      nothingLearned("nobody knows", 0.3),
    ],
  },
];
