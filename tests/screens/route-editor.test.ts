import { describe, expect, test } from "vitest";
import { page, userEvent } from "vitest/browser";
import type { Route } from "../../model/route/route.ts";
import { openApp, showApp } from "./log-app.ts";
import { aBreak, storeBreaks } from "./log-breaks.ts";

const ID = "break-B-1";

async function showRoute() {
  const { app, store } = await openApp();
  await storeBreaks(store, [aBreak("B-1", { context: { machine: "Breakdown 4" } })]);
  app.place = { screen: "route", breakId: ID };
  await showApp(app, store);
  await expect.element(page.getByRole("heading", { level: 1, name: "Route of B-1" })).toBeVisible();
  const kept = async (): Promise<Route | undefined> => (await store.load(ID))?.record.route;
  return { app, store, kept };
}

async function startWith(dies: string) {
  const shown = await showRoute();
  await page.getByLabelText(/Rod diameter/).fill("8");
  await page.getByRole("button", { name: /Paste its die list/ }).click();
  await page.getByLabelText(/Die list, copied/).fill(dies);
  return shown;
}

const LIST = "die\tout (mm)\tsemi-angle\tmu\n1\t7.1\t7\t0.05\n2\t6.3\t7\t0.05\n3\t5.6\t6\t0.05";

describe("entering a route", () => {
  test("a pasted die list becomes a machine; undo takes it back to nothing", async () => {
    const { kept } = await startWith(LIST);
    await page.getByRole("button", { name: /Use these dies/ }).click();
    await expect.poll(async () => (await kept())?.machines[0]?.dies.map((d) => d.outMm)).toEqual([7.1, 6.3, 5.6]);
    const route = await kept();
    expect(route).toMatchObject({ rodMm: 8, machines: [{ name: "Breakdown 4" }] });
    expect(route?.machines[0]?.dies.map((d) => d.semiAngleDeg)).toEqual([7, 7, 6]);
    (document.activeElement as HTMLElement | null)?.blur();
    await userEvent.keyboard("{Control>}z{/Control}");
    await expect.poll(async () => (await kept())?.machines[0]?.dies).toEqual([]);
    await userEvent.keyboard("{Control>}z{/Control}");
    await expect.poll(kept).toBeUndefined();
    await expect.element(page.getByText("No route is recorded for this break.")).toBeVisible();
  });

  test("faults of a pasted list are marked at their row and column with the reason", async () => {
    await startWith("out (mm)\tsemi-angle\n7.1\t7\n7.4\tseven");
    await expect
      .element(page.getByText(/Row 3, column 1: The wire leaves at 7.4 mm but enters at 7.1 mm/))
      .toBeVisible();
    await expect.element(page.getByText(/Row 3, column 2: "seven" is not a number/)).toBeVisible();
    await expect.element(page.getByRole("button", { name: /Use these dies/ })).toBeDisabled();
  });

  test("a column called only angle is asked for", async () => {
    const { kept } = await startWith("out (mm)\tangle\n7.1\t14\n6.3\t12");
    await expect.element(page.getByText(/Say whether this is half or the full die angle/)).toBeVisible();
    await page.getByLabelText(/A column called only/).selectOptions("full");
    await page.getByRole("button", { name: /Use these dies/ }).click();
    await expect.poll(async () => (await kept())?.machines[0]?.dies.map((d) => d.semiAngleDeg)).toEqual([7, 6]);
  });

  test("a bad value stays where it was typed, with the reason, and is not written", async () => {
    const { kept } = await startWith(LIST);
    await page.getByRole("button", { name: /Use these dies/ }).click();
    const out = page.getByLabelText("Wire after die 2 of Breakdown 4");
    await out.fill("7.5");
    await userEvent.keyboard("{Enter}");
    await expect.element(page.getByText(/leaves at 7.5 mm but enters at 7.1 mm/)).toBeVisible();
    await expect.element(out).toHaveAttribute("aria-invalid", "true");
    expect((await kept())?.machines[0]?.dies[1]?.outMm).toBe(6.3);
    await out.fill("0.25 in");
    await userEvent.keyboard("{Tab}");
    await expect.poll(async () => (await kept())?.machines[0]?.dies[1]?.outMm).toBeCloseTo(6.35, 9);
  });

  test("full angles, friction with its band and the place of the break", async () => {
    const { kept } = await startWith(LIST);
    await page.getByRole("button", { name: /Use these dies/ }).click();
    await page.getByRole("radio", { name: "full angle" }).click();
    await page.getByLabelText("Full angle of die 1 of Breakdown 4").fill("18");
    await userEvent.keyboard("{Tab}");
    await page.getByLabelText("Friction of die 1 of Breakdown 4").fill("m 0,08 (0,05–0,12)");
    await userEvent.keyboard("{Tab}");
    await page.getByRole("radio", { name: "Broke at die 3 of Breakdown 4" }).click();
    await expect.poll(async () => (await kept())?.brokeAt).toEqual({ machine: 0, die: 2 });
    expect((await kept())?.machines[0]?.dies[0]).toMatchObject({
      semiAngleDeg: 9,
      friction: { kind: "m", value: 0.08, low: 0.05, high: 0.12 },
    });
  });

  test("constant elongation, a second machine, and a transfer that turns the wire", async () => {
    const { kept } = await showRoute();
    await page.getByLabelText(/Rod diameter/).fill("8");
    await page.getByRole("button", { name: /Constant elongation/ }).click();
    await page.getByLabelText(/Wire after the last die/).fill("2");
    await page.getByLabelText("Number of dies").fill("2");
    await page.getByRole("button", { name: /Fill in/ }).click();
    // 8 mm to 2 mm in two dies of equal elongation passes 4 mm, by definition.
    await expect.poll(async () => (await kept())?.machines[0]?.dies.map((d) => d.outMm)).toEqual([4, 2]);
    (document.activeElement as HTMLElement | null)?.blur();
    await userEvent.keyboard("m");
    await page.getByLabelText("From Breakdown 4 to Machine 2").selectOptions("coil");
    await expect.element(page.getByText("The wire was turned end for end.")).toBeVisible();
    await expect.poll(async () => (await kept())?.transfers).toEqual([{ kind: "coil", rewinds: 0 }]);
  });

  test("a die series is stored and used again", async () => {
    const { app, store, kept } = await startWith(LIST);
    await page.getByRole("button", { name: /Use these dies/ }).click();
    await page.getByRole("button", { name: /Stored series/ }).click();
    await page.getByLabelText(/Store the 3 dies/).fill("to 5.6");
    await page.getByRole("button", { name: "Store", exact: true }).click();
    await expect.poll(async () => (await store.getSetting<readonly unknown[]>("dieSeries"))?.length).toBe(1);
    await page.getByRole("button", { name: /^Close/ }).click();
    await page.getByLabelText("Wire after die 3 of Breakdown 4").fill("5.5");
    await userEvent.keyboard("{Tab}");
    await expect.poll(async () => (await kept())?.machines[0]?.dies[2]?.outMm).toBe(5.5);
    await page.getByRole("button", { name: /Stored series/ }).click();
    await page.getByRole("button", { name: "Use to 5.6" }).click();
    await expect.poll(async () => (await kept())?.machines[0]?.dies[2]?.outMm).toBe(5.6);
    expect(app.messages).toEqual([]);
  });
});
