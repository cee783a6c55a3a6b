import { describe, expect, test } from "vitest";
import { page, userEvent } from "vitest/browser";
import type { Mark, WireBreak } from "../../model/break/wire-break.ts";
import type { BreakTypeId } from "../../model/evidence/break-type-ids.ts";
import { summarise } from "../../web/storage/summary.ts";
import { aBreak, AT } from "./log-breaks.ts";
import { openApp, showApp } from "./log-app.ts";

const mark = (
  id: string,
  feature: Mark["feature"],
  given: Mark["given"] = {},
  state: Mark["state"] = "present",
): Mark => ({
  id,
  feature,
  state,
  photographId: null,
  geometry: null,
  given,
  note: "",
  by: "A. Reader",
  at: AT,
});

type Marks = readonly Mark[];
interface Made {
  readonly confirmed?: BreakTypeId;
  readonly machine?: Marks;
  readonly takeUp?: Marks;
  readonly demo?: boolean;
  readonly context?: Partial<WireBreak["context"]>;
}

function made(number: string, { confirmed, machine = [], takeUp = [], demo = false, context = {} }: Made) {
  const { record } = aBreak(number, { ...(confirmed === undefined ? {} : { confirmed }), context });
  const { ends } = record;
  const end = (side: "machine" | "takeUp", marks: Marks) => ({
    ...ends[side],
    recovery: "recovered" as const,
    marks: marks.map((each) => ({ ...each, id: `${side}-${each.id}` })),
  });
  const whole = { ...record, demo, ends: { machine: end("machine", machine), takeUp: end("takeUp", takeUp) } };
  return { record: whole, summary: summarise(whole, "undetermined") };
}

const cup = (flank: number) => [mark("h", "end_hole", { hole_d_over_D: 0.5 }), mark("n", "neck", { ra_pct: flank })];
const cone = [mark("f", "cone_flank", { flank_angle_deg: 45 }), mark("a", "cone_apex")];
const lip = [
  mark("l", "shear_lip", { lip_arc_fraction: 0.9 }),
  mark("z", "fibrous_zone"),
  mark("n", "neck", { ra_pct: 70 }),
  mark("h", "end_hole", {}, "absent"),
];

async function show(breaks: readonly ReturnType<typeof made>[], open: string) {
  const { app, store } = await openApp();
  await store.commit({ entries: [], records: breaks });
  location.hash = `#/compare/break-${open}`;
  app.followAddress();
  await showApp(app, store);
  return { app, store };
}

const OPEN = made("B-1", { machine: cup(12), takeUp: cone, context: { metal: "copper", cast: "K-1" } });
const BURST = made("B-2", {
  confirmed: "central_burst",
  machine: cup(10),
  takeUp: cone,
  context: { metal: "copper", cast: "K-2", notes: "die 7 renewed" },
});
const DUCTILE = made("B-3", { confirmed: "tensile_overload", machine: lip, takeUp: lip, context: { metal: "steel" } });
const listed = () => page.getByRole("listitem");

describe("a break beside the most similar confirmed ones", () => {
  test("most similar first, with what is alike, what differs and how it was confirmed", async () => {
    await show([OPEN, DUCTILE, BURST], "B-1");
    await expect.element(page.getByRole("heading", { name: "Most similar confirmed breaks" })).toBeVisible();
    await expect.element(listed().nth(0)).toHaveTextContent(/B-2 .*Central burst/);
    await expect.element(listed().nth(0)).toHaveTextContent(/a hole on one end, a cone on the other/);
    await expect.element(listed().nth(0)).toHaveTextContent(/same metal/);
    await expect.element(listed().nth(1)).toHaveTextContent(/B-3 .*Ductile tensile overload/);
    await expect.element(listed().nth(1)).toHaveTextContent(/reduction of area 12 %, there 70 %/);
    await expect.element(listed().nth(1)).toHaveTextContent(/another metal/);
    await expect.element(page.getByRole("heading", { name: "How B-2 was confirmed" })).toBeVisible();
    await expect.element(page.getByText("seen on both ends", { exact: true })).toBeVisible();
    await expect.element(page.getByText("die 7 renewed")).toBeVisible();
    await expect.element(page.getByRole("row", { name: /^Cast K-1 .*K-2 \(differs\)$/ })).toBeVisible();
    await expect.element(page.getByRole("row", { name: /^Neck: reduction of area 12 % 10 %$/ })).toBeVisible();
  });

  test("the arrows step through the list, O opens the other break, Escape goes back", async () => {
    const { app } = await show([OPEN, DUCTILE, BURST], "B-1");
    await expect.element(page.getByRole("region", { name: "Earlier break, B-2" })).toBeVisible();
    await userEvent.keyboard("{ArrowDown}");
    await expect.element(page.getByRole("region", { name: "Earlier break, B-3" })).toBeVisible();
    expect(location.hash).toBe("#/compare/break-B-1/break-B-3");
    await userEvent.keyboard("{ArrowDown}");
    await userEvent.keyboard("{ArrowUp}");
    await expect.element(page.getByRole("region", { name: "Earlier break, B-2" })).toBeVisible();
    await userEvent.keyboard("o");
    await expect.poll(() => app.place).toEqual({ screen: "bench", breakId: "break-B-2" });
    history.back();
    await expect.element(page.getByRole("region", { name: "This break, B-1" })).toBeVisible();
    await userEvent.keyboard("{Escape}");
    await expect.poll(() => app.place).toEqual({ screen: "bench", breakId: "break-B-1" });
    await expect.element(page.getByRole("link", { name: /^Similar/ })).toBeVisible();
    await userEvent.keyboard("w");
    await expect.poll(() => app.place).toMatchObject({ screen: "compare", breakId: "break-B-1" });
  }, 90_000);

  test("without photographs it says so at each end, and V asks for the other view", async () => {
    await show([OPEN, BURST], "B-1");
    await expect.element(page.getByRole("region", { name: "Earlier break, B-2" })).toBeVisible();
    const start = page.getByText("no photograph from the side");
    await expect.poll(() => start.elements().length).toBe(4);
    await userEvent.keyboard("v");
    await expect.poll(() => page.getByText("no end-on photograph").elements().length).toBe(4);
  });

  test("no confirmed break: says how to get one", async () => {
    await show([OPEN], "B-1");
    await expect.element(page.getByRole("heading", { name: "No confirmed break yet" })).toBeVisible();
  });

  test("invented breaks are no experience of this lab", async () => {
    await show(
      [OPEN, { ...made("D-1", { confirmed: "central_burst", machine: cup(10), takeUp: cone, demo: true }) }],
      "B-1",
    );
    await expect.element(page.getByRole("heading", { name: "No confirmed break yet" })).toBeVisible();
  });

  test("nothing marked: says where to mark", async () => {
    await show([made("B-1", { context: { metal: "copper", nominalDiameterMm: 2 } }), BURST], "B-1");
    await expect.element(page.getByRole("heading", { name: "Nothing marked on B-1" })).toBeVisible();
  });

  test("fewer than three in common: says that nothing comparable is known", async () => {
    await show([made("B-1", { machine: [mark("s", "swirl")] }), DUCTILE], "B-1");
    await expect.element(page.getByRole("heading", { name: "Nothing comparable is known" })).toBeVisible();
  });

  test("a break that is not here is said to be missing", async () => {
    await show([BURST], "B-9");
    await expect.element(page.getByRole("heading", { name: "This break is not on this bench." })).toBeVisible();
  });
});
