import type { KeyAction } from "../shell/keys.ts";
import type { RouteDesk } from "./route-desk.svelte.ts";
import { withDieAdded, withMachineAdded } from "./route-edits.ts";

/** Parts of the page that a digit jumps to, by the id of their heading. */
const PARTS = [
  ["route-chart", "chart of die angle against reduction"],
  ["route-birth", "where it was born"],
  ["route-change", "what to change"],
  ["route-passes", "every pass computed"],
  ["route-editor", "machines and dies"],
] as const;

function jump(id: string): boolean {
  const heading = document.getElementById(id);
  if (heading === null) return false;
  heading.focus();
  heading.scrollIntoView({ block: "start" });
  return true;
}

/** Every action of the route screen and its key; the same list feeds the list of keys. */
export function routeKeys(desk: RouteDesk): readonly KeyAction[] {
  const group = "Route";
  const here = "This break";
  const machine = () => desk.passes[desk.focus]?.at.machine ?? 0;
  const open = (kind: "paste" | "fill" | "series") => () => {
    if (desk.route === null || !desk.editable) return false;
    desk.panel = kind === "paste" ? { kind, machine: machine(), text: "" } : { kind, machine: machine() };
    return true;
  };
  return [
    ...PARTS.map(([id, does], i): KeyAction => ({
      keys: [String(i + 1)],
      group,
      does: `to: ${does}`,
      run: () => jump(id),
    })),
    { keys: ["v"], group, does: "paste a die list into the machine in hand", run: open("paste") },
    { keys: ["e"], group, does: "fill with constant elongation", run: open("fill") },
    { keys: ["d"], group, does: "stored die series", run: open("series") },
    {
      keys: ["n"],
      group,
      does: "add a die to the machine in hand",
      run: () => {
        if (desk.route === null || !desk.editable) return false;
        desk.do(withDieAdded(desk.route, machine()), "Die added");
        return true;
      },
    },
    {
      keys: ["m"],
      group,
      does: "add a machine",
      run: () => {
        if (desk.route === null || !desk.editable) return false;
        desk.do(withMachineAdded(desk.route, { name: `Machine ${desk.route.machines.length + 1}`, dies: [] }));
        return true;
      },
    },
    { keys: ["Escape"], group, does: "back to what is recorded", run: () => desk.leave() },
    {
      keys: ["b"],
      group: here,
      does: "back to the bench",
      run: () => desk.app.go({ screen: "bench", breakId: desk.record.id }),
    },
    {
      keys: ["p"],
      group: here,
      does: "to the sheet",
      run: () => desk.app.go({ screen: "sheet", breakId: desk.record.id }),
    },
    { keys: ["Ctrl+z"], group: here, does: "undo", run: () => void desk.undo() },
    { keys: ["Ctrl+Shift+z", "Ctrl+y"], group: here, does: "redo", run: () => void desk.redo() },
  ];
}
