import { expect, test } from "vitest";
import { page, userEvent } from "vitest/browser";
import { applyEdit, type Edit } from "../../model/break/edits.ts";
import type { Mark } from "../../model/break/wire-break.ts";
import { referenceSetOf } from "../../web/reference/reference-set.svelte.ts";
import { summarise } from "../../web/storage/summary.ts";
import { checkInThread } from "../../web/workers/set-check-client.ts";
import { openApp, showApp } from "./log-app.ts";
import { AT } from "./log-breaks.ts";
import { fileSetBreaks } from "./set-breaks.ts";
import { unzipped } from "./unzipped.ts";

const pressed = async (on: ReturnType<typeof page.getByRole>, key: string) => {
  (on.element() as HTMLElement).focus();
  await userEvent.keyboard(key);
};

test("crops are asked for by keyboard, a wrong number is refused in words, and the file is whole", async () => {
  const { app, store } = await openApp();
  await fileSetBreaks(store, [{ type: "torsion" }, { type: "fatigue" }, { type: "central_burst" }]);
  const { record } = (await store.load("s-1"))!;
  const [photograph] = record.ends.machine.photographs;
  const geometry = { type: "ellipse", cx: 48, cy: 36, rx: 30, ry: 30, angle_deg: 0 } as const;
  const from = record.ends.machine.marks[0]!;
  const outline: Mark = { ...from, id: "o", feature: "wire_outline", state: "present", photographId: photograph!.id, geometry }; // prettier-ignore
  const edit: Edit = { kind: "add-mark", side: "machine", index: 0, mark: outline };
  const { next, inverse } = applyEdit(record, edit, AT);
  const line = { breakId: "s-1", revision: next.revision, edit, inverse, of: null, by: "L. Lead", at: AT };
  await store.commit({
    entries: [{ ...line, origin: "reader" }],
    records: [{ record: next, summary: summarise(next, "torsion") }],
  });
  await store.setSetting("preferences", { reader: "L. Lead" });
  app.place = { screen: "set" };
  await showApp(app, store);
  const set = referenceSetOf(app);
  await expect.poll(() => set.rows?.length, { timeout: 20_000 }).toBe(3);
  await set.set({ given: { ...set.settings.given, creator: "Hollowmoor Wire (invented)" } });
  expect(await set.freeze("1.0.0", "L. Lead", "")).not.toBeNull();
  await userEvent.keyboard("3");
  const write = page.getByRole("button", { name: "Write version 1.0.0…" });
  await expect.element(write).toBeEnabled();
  await pressed(page.getByRole("checkbox", { name: /^Crops for training/ }), " ");
  const px = page.getByRole("spinbutton", { name: /^Pixels to one wire diameter/ });
  await expect.element(px).toHaveValue(256);
  await pressed(px, "{Control>}a{/Control}63{Tab}");
  await expect.element(page.getByText(/a whole number of pixels from 64 to 1024/)).toBeVisible();
  await expect.element(write).toBeDisabled();
  await pressed(px, "{Control>}a{/Control}96{Tab}");
  await expect.element(write).toBeEnabled();
  const picker = Object.getOwnPropertyDescriptor(window, "showSaveFilePicker");
  if (picker) Reflect.deleteProperty(window, "showSaveFilePicker");
  const link = new Promise<string>((resolve) => {
    const onClick = (event: Event) => {
      if (!(event.target instanceof HTMLAnchorElement) || event.target.download === "") return;
      event.preventDefault();
      removeEventListener("click", onClick, true);
      resolve(event.target.href);
    };
    addEventListener("click", onClick, true);
  });
  await pressed(write, "{Enter}");
  const file = new File([await (await fetch(await link)).blob()], "set.zip", { type: "application/zip" });
  if (picker) Object.defineProperty(window, "showSaveFilePicker", picker);
  await expect.element(page.getByText(/, 1 crops/)).toBeVisible();
  await expect.element(page.getByText(/^5 photographs have no crop/)).toBeVisible();
  const zip = await unzipped(file);
  expect([...zip.keys()].filter((path) => /^crops\/\w+\/.+\.png$/.test(path))).toHaveLength(1);
  expect(zip.get("tables/crops.csv")!.trim().split("\r\n")).toHaveLength(2);
  expect(await checkInThread({ file, progressName: "set-crops.json" })).toMatchObject({ faults: 0, list: [] });
});
