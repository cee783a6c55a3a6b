import { describe, expect, test } from "vitest";
import { page, userEvent } from "vitest/browser";
import { newBreak } from "../../model/break/new-break.ts";
import type { Mark, WireBreak } from "../../model/break/wire-break.ts";
import type { Die, Route } from "../../model/route/route.ts";
import { summarise } from "../../web/storage/summary.ts";
import { AT } from "./log-breaks.ts";
import { openApp, showApp } from "./log-app.ts";

const die = (name: string, outMm: number, semiAngleDeg: number): Die => ({
  name,
  inMm: null,
  outMm,
  semiAngleDeg,
  bearingMm: 1,
  lubricant: null,
  friction: { kind: "m", value: 0.08, low: 0.05, high: 0.12 },
  tonnes: null,
  wear: null,
});
/** The second pass is steep and light: 8 % through 9°. */
const ROUTE: Route = {
  rodMm: 8,
  machines: [{ name: "Finisher", dies: [die("1", 7.155, 6), die("2", 6.788, 9), die("3", 6.07, 6)] }],
  transfers: [],
  anneals: [],
  brokeAt: { machine: 0, die: 2 },
};
const mark = (id: string, feature: Mark["feature"], given: Mark["given"]): Mark => ({
  id,
  feature,
  state: "present",
  photographId: null,
  geometry: null,
  given,
  note: "",
  by: "A. Reader",
  at: AT,
});

async function showRoute(change: (b: WireBreak) => WireBreak = (b) => b, route = ROUTE) {
  const { app, store } = await openApp();
  const fresh = newBreak("one", "B-1", AT);
  const record = change({
    ...fresh,
    route,
    context: { ...fresh.context, metal: "copper", refRaPct: 70, drawDirection: "recorded", nominalDiameterMm: 6.07 },
    ends: {
      ...fresh.ends,
      machine: {
        ...fresh.ends.machine,
        recovery: "recovered",
        marks: [
          mark("tip", "cone_apex", { apex_direction: "toward_spool" }),
          mark("flank", "cone_flank", { flank_angle_deg: 44 }),
        ],
      },
    },
  });
  await store.commit({ entries: [], records: [{ record, summary: summarise(record, "central_burst") }] });
  app.place = { screen: "route", breakId: "one" };
  await showApp(app, store);
  await expect.element(page.getByRole("heading", { name: "Die angle against reduction" })).toBeVisible();
  const kept = async (): Promise<Route | undefined> => (await store.load("one"))?.record.route;
  const edits = async (): Promise<number> => (await store.load("one"))?.log.length ?? 0;
  return { app, store, kept, edits };
}
const point = (n: number) => page.getByRole("slider", { name: `Pass ${n}, die ${n} of Finisher` });
const product = (r: Route) => (r.machines[0]!.dies.at(-1)!.outMm / r.rodMm) ** 2;

describe("every pass computed", () => {
  test("shows numbers, and formula with source one click away", async () => {
    await showRoute();
    const table = page.getByRole("group", { name: "Computed passes" });
    // r = 1 − (7.155/8)² = 20.0 %, by definition.
    await expect.element(table.getByRole("row", { name: /^1 1 Finisher 8\.000 → 7\.155 20\.0/ })).toBeVisible();
    await page.getByRole("button", { name: "Details of pass 1" }).click();
    await expect.element(page.getByText("r = 1 − (d1/d0)²")).toBeVisible();
    await expect.element(page.getByText(/Deformation Processing/).first()).toBeVisible();
  });

  test("outside the fitted range it says so instead of a number", async () => {
    const steep = {
      ...ROUTE,
      machines: [{ name: "Finisher", dies: [die("1", 7.155, 6), die("2", 7, 12)] }],
      brokeAt: null,
    };
    await showRoute((b) => b, steep);
    await expect
      .element(page.getByRole("cell", { name: /Reduction 4.3 % lies outside the verified 5 %–45 %/ }))
      .toBeVisible();
  });
});

describe("the chart", () => {
  test("the arrows move a pass; its neighbour takes up the reduction; one edit after a pause; undo", async () => {
    const { kept, edits } = await showRoute();
    (point(1).element() as SVGElement).focus();
    await userEvent.keyboard("{PageDown}");
    await expect.element(point(2)).toHaveFocus();
    await userEvent.keyboard("{ArrowDown}{ArrowDown}{ArrowRight}{ArrowRight}");
    await expect.element(point(2)).toHaveAttribute("aria-valuenow", "8");
    await expect.poll(edits).toBe(1);
    const after = await kept();
    expect(after?.machines[0]?.dies[1]?.semiAngleDeg).toBe(8);
    // 10.0 % and two steps of 0.5 %.
    expect(1 - (after!.machines[0]!.dies[1]!.outMm / 7.155) ** 2).toBeCloseTo(1 - (6.788 / 7.155) ** 2 + 0.01, 9);
    expect(product(after!)).toBeCloseTo(product(ROUTE), 12);
    expect(after?.machines[0]?.dies[0]).toEqual(ROUTE.machines[0]?.dies[0]);
    await userEvent.keyboard("{Control>}z{/Control}");
    await expect.poll(kept).toEqual(ROUTE);
  });

  test("a drag is one edit when the hand lets go, and keeps the product of reductions", async () => {
    const { kept, edits } = await showRoute();
    const handle = point(2).element() as SVGGElement;
    const { x, y, width, height } = handle.getBoundingClientRect();
    const at = { x: x + width / 2, y: y + height / 2 };
    const send = (type: string, dx: number, dy: number) =>
      handle.dispatchEvent(
        new PointerEvent(type, { bubbles: true, button: 0, pointerId: 1, clientX: at.x + dx, clientY: at.y + dy }),
      );
    // A made-up pointer cannot be captured by the browser.
    handle.setPointerCapture = () => undefined;
    send("pointerdown", 0, 0);
    for (const d of [5, 15, 30]) send("pointermove", d, d);
    expect(await edits()).toBe(0);
    send("pointerup", 30, 30);
    await expect.poll(edits).toBe(1);
    const after = await kept();
    expect(after!.machines[0]!.dies[1]!.semiAngleDeg).toBeLessThan(9);
    expect(after!.machines[0]!.dies[1]!.outMm).toBeLessThan(6.788);
    expect(product(after!)).toBeCloseTo(product(ROUTE), 12);
  });

  test("is a picture with words, and a table", async () => {
    await showRoute();
    await expect.element(page.getByRole("img", { name: /Die angle against reduction/ })).toBeVisible();
    await page.getByText("The chart as a table").click();
    const table = page.getByRole("group", { name: "Chart as a table" });
    await expect.element(table.getByRole("row", { name: /^2 2 of Finisher 10\.0 9\.0/ })).toBeVisible();
  });
});

describe("where it was born", () => {
  test("says the likeliest pass, what cannot be said, the reasons, and that the limit is assumed", async () => {
    await showRoute();
    await expect.element(page.getByText(/Most likely born at die 2 of Finisher/)).toBeVisible();
    await expect.element(page.getByText("Cannot be said", { exact: true })).toBeVisible();
    await expect.element(page.getByText(/The limit of B is assumed, not measured/)).toBeVisible();
    await page.getByText("Pass 2, die 2 of Finisher", { exact: true }).click();
    await expect.element(page.getByText(/Centreline stress .* against a limit of 0.67/).first()).toBeVisible();
  });

  test("states nothing while it is not known which end is which", async () => {
    await showRoute((b) => ({ ...b, rolesKnown: false }));
    await expect
      .element(page.getByText("Place of birth not stated: which end stayed in the machine is not known."))
      .toBeVisible();
  });

  test("does not ask where no burst was seen", async () => {
    await showRoute((b) => ({ ...b, ends: { ...b.ends, machine: { ...b.ends.machine, marks: [] } } }));
    await expect.element(page.getByText(/Nothing seen on the ends speaks of a central burst/)).toBeVisible();
  });
});

describe("what to change", () => {
  test("proposals are shown on the chart, written as one edit, and the danger is gone", async () => {
    const { kept, edits } = await showRoute();
    await expect.element(page.getByText(/is not outside the danger region with the margin\./)).toBeVisible();
    await page.getByRole("button", { name: /Show on the chart proposal 1/ }).click();
    await expect
      .element(page.getByRole("button", { name: /Show on the chart proposal 1/ }))
      .toHaveAttribute("aria-pressed", "true");
    await page.getByRole("button", { name: /Write into the route proposal 1/ }).click();
    await expect.poll(edits).toBe(1);
    expect(product((await kept())!)).toBeCloseTo(product(ROUTE), 9);
    await expect.element(page.getByText(/Every pass lies outside the danger region with the margin/)).toBeVisible();
  });

  test("a larger margin asks for more", async () => {
    const { app } = await showRoute();
    await page.getByLabelText(/Margin outside the danger region/).fill("12");
    await userEvent.keyboard("{Tab}");
    await expect.element(page.getByText("Must lie between 0 and 10.")).toBeVisible();
    await page.getByLabelText(/Margin outside the danger region/).fill("6");
    await userEvent.keyboard("{Tab}");
    await expect.element(page.getByText(/Passes 1, 2, 3 are not outside/)).toBeVisible();
    expect(app.messages).toEqual([]);
  });
});
