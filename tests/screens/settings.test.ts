import { describe, expect, test } from "vitest";
import { page, userEvent } from "vitest/browser";
import { cleanup } from "vitest-browser-svelte";
import type { ScaleProfile } from "../../model/measure/profile.ts";
import { DEFAULT_LADDER } from "../../model/reference/ladder.ts";
import { readDraft, type ProfileDraft } from "../../web/shell/settings/profiles.svelte.ts";
import type { App } from "../../web/shell/app.svelte.ts";
import { readingOfLine } from "../../web/shell/settings/drawn-reading.ts";
import { openApp, showApp } from "./log-app.ts";
import { aBreak, storeBreaks } from "./log-breaks.ts";

const PROFILE: ScaleProfile = {
  id: "p-7",
  name: "4× · zoom 1 · camera B",
  pxPerMm: { value: 820, u: 1 },
  readings: [{ lengthMm: 1, px: 820, direction: "x" }],
  micrometer: { number: "SM-7", relativeU: 0.0005 },
  by: "A. Reader",
  calibratedAt: "2026-01-10T08:00:00Z",
  dueAt: "2027-01-10T08:00:00Z",
};

async function showSettings(numbers: readonly string[] = []) {
  const { app, store } = await openApp();
  await storeBreaks(
    store,
    numbers.map((number) => aBreak(number)),
  );
  app.place = { screen: "settings" };
  await showApp(app, store);
  await expect.element(page.getByRole("heading", { name: "Settings and bench file" })).toBeVisible();
  return app;
}

describe("settings", () => {
  test("the reader's name is kept on the disk and stands on what follows", async () => {
    const app = await showSettings();
    await expect.element(page.getByText(/Not named yet/)).toBeVisible();
    await userEvent.type(page.getByLabelText(/Your name or code/), "M. Lind{Tab}");
    await expect.poll(() => app.reader).toBe("M. Lind");
    await expect
      .poll(async () => (await app.bench.getSetting<{ reader: string }>("preferences"))?.reader)
      .toBe("M. Lind");
    await expect.element(page.getByText(/Not named yet/)).not.toBeInTheDocument();
  });

  test("the theme changes at once", async () => {
    await showSettings();
    await page.getByRole("group", { name: "Screen" }).getByRole("radio", { name: "dark" }).click();
    await expect.poll(() => document.documentElement.dataset["theme"]).toBe("dark");
    await page.getByRole("group", { name: "Screen" }).getByRole("radio", { name: "as the system" }).click();
    await expect.poll(() => document.documentElement.dataset["theme"]).toBeUndefined();
  });

  const fillProfile = async (x: string, y = "") => {
    await page.getByRole("textbox", { name: "Objective", exact: true }).fill("2×");
    await page.getByLabelText("Zoom stop").fill("1.5");
    await page.getByLabelText("Camera and adapter").fill("camera A");
    await page.getByLabelText("Size of its photographs, px").fill("1920 x 1080");
    await page.getByLabelText("Readings across (x), px").fill(x);
    await page.getByLabelText("Readings upright (y), px").fill(y);
  };
  const storedIn = async (app: App) => (await app.bench.getSetting<readonly ScaleProfile[]>("profiles")) ?? [];

  test("a profile needs its fields, shows mean and uncertainty, and is kept on the disk", async () => {
    const app = await showSettings();
    await page.getByRole("button", { name: "Add a profile" }).click();
    await page.getByRole("button", { name: "Keep this profile" }).click();
    await expect.element(page.getByText(/Name the objective/)).toBeVisible();
    await expect.element(page.getByText(/Say the size of the photographs/)).toBeVisible();
    await fillProfile("1000 1001 999");
    await page.getByLabelText("Smallest step of a reading, px").fill("0");
    await expect.element(page.getByText(/1000\.\d px\/mm/).first()).toBeVisible();
    await expect.element(page.getByText(/Only one direction was read/)).toBeVisible();
    await page.getByRole("button", { name: "Keep this profile" }).click();
    await expect.element(page.getByText("2× · zoom 1.5 · camera A")).toBeVisible();
    const [kept] = await storedIn(app);
    expect(kept).toMatchObject({
      picturePx: [1920, 1080],
      setUp: { objective: "2×", zoom: "1.5", camera: "camera A" },
    });
    expect(kept?.pxPerMm.value).toBeCloseTo(1000, 9);
    // s = 1 px, s/√3 = 0.577 px; micrometer 0.5 µm in 1 mm = 0.5 px; in quadrature 0.764 px (JCGM 100:2008, 4.2.3 and 5.1.2, from memory).
    expect(kept?.pxPerMm.u).toBeCloseTo(Math.sqrt(1 / 3 + 0.25), 6);
  });

  test("directions that differ are kept apart, and calibrating again adds to the history", async () => {
    const app = await showSettings();
    await page.getByRole("button", { name: "Add a profile" }).click();
    await fillProfile("1000 1001 999", "1010 1011 1009");
    await expect.element(page.getByText(/The x and y readings differ by 1\.00 %/)).toBeVisible();
    await page.getByRole("button", { name: "Keep this profile" }).click();
    await expect.element(page.getByText(/across 1000\.\d px\/mm.*upright 1010/)).toBeVisible();
    await page.getByRole("button", { name: /^Calibrate 2×/ }).click();
    await page.getByLabelText("Readings across (x), px").fill("998 998.5 998");
    await page.getByLabelText("Read by").fill("B. Reader");
    await page.getByRole("button", { name: "Keep this calibration" }).click();
    await expect.element(page.getByText("1 calibration before")).toBeVisible();
    const [kept, ...others] = await storedIn(app);
    expect(others).toEqual([]);
    expect(kept).toMatchObject({ by: "B. Reader", picturePx: [1920, 1080] });
    expect(kept?.pxPerMmY).toBeUndefined();
    expect(kept?.history?.[0]?.pxPerMmY?.value).toBeCloseTo(1010, 9);
  });

  test("a profile past its due day says that it is overdue; out of use it is kept and comes back", async () => {
    const { app, store } = await openApp();
    const overdue: ScaleProfile = {
      id: "p",
      name: "4×",
      pxPerMm: { value: 2000, u: 2 },
      readings: [],
      micrometer: { number: "SM-7", relativeU: 0.0005 },
      by: "A. Reader",
      calibratedAt: "2024-01-10",
      dueAt: "2025-01-10",
    };
    await store.setSetting("profiles", [overdue]);
    app.place = { screen: "settings" };
    await showApp(app, store);
    await expect.element(page.getByText(/Overdue since 10 Jan 2025/)).toBeVisible();
    await page.getByRole("button", { name: "Put 4× out of use" }).click();
    await expect.poll(async () => (await storedIn(app))[0]?.outOfUseAt).toBeDefined();
    await page.getByText("1 profile out of use").click();
    await page.getByRole("button", { name: "Take 4× into use again" }).click();
    await expect.poll(async () => (await storedIn(app))[0]).toEqual(overdue);
  });

  test("readings are drawn on a photograph of the stage micrometer by keyboard", async () => {
    await showSettings();
    await page.getByRole("button", { name: "Add a profile" }).click();
    await page.getByRole("button", { name: "Draw readings on its photograph…" }).click();
    await userEvent.upload(page.getByLabelText("Choose its photograph"), await micrometerPhotograph());
    const stage = page.getByRole("application", { name: "Photograph of the stage micrometer" });
    await expect.element(stage).toBeVisible();
    await expect.poll(() => document.activeElement?.getAttribute("role")).toBe("application");
    for (let line = 1; line <= 3; line++) {
      await userEvent.keyboard(
        " {ArrowRight}{ArrowRight}{ArrowRight}{ArrowRight} {ArrowLeft}{ArrowLeft}{ArrowLeft}{ArrowLeft}",
      );
      await expect.element(page.getByRole("button", { name: `Take line ${line} off` })).toBeVisible();
    }
    await page.getByRole("button", { name: "Use these 3 readings" }).click();
    await expect.element(page.getByText("3 across, 0 upright drawn on micrometer.png")).toBeVisible();
    await expect.element(page.getByLabelText("Size of its photographs, px")).toHaveValue("800 × 600");
  });

  test("says how many breaks there are, what is used, and what the output is not", async () => {
    await showSettings(["B-1", "B-2"]);
    await expect.element(page.getByText("2 breaks", { exact: true })).toBeVisible();
    await expect.element(page.getByText(/it is no verdict on fitness for service/)).toBeVisible();
  });
});

/** Graduations every 100 px, as a stage micrometer looks. */
async function micrometerPhotograph(): Promise<File> {
  const canvas = new OffscreenCanvas(800, 600);
  const context = canvas.getContext("2d");
  if (context === null) throw new Error("no canvas");
  context.fillStyle = "#ddd";
  context.fillRect(0, 0, 800, 600);
  context.fillStyle = "#111";
  for (let x = 50; x < 800; x += 100) context.fillRect(x - 1, 250, 2, 100);
  return new File([await canvas.convertToBlob({ type: "image/png" })], "micrometer.png", { type: "image/png" });
}

describe("the bench file", () => {
  /** The file the page hands to the downloads, where the browser has no dialog of its own for saving. */
  async function saved(press: string | RegExp): Promise<File> {
    const picker = Object.getOwnPropertyDescriptor(window, "showSaveFilePicker");
    if (picker) Reflect.deleteProperty(window, "showSaveFilePicker");
    try {
      const link = new Promise<HTMLAnchorElement>((resolve) => {
        const onClick = (event: Event) => {
          if (!(event.target instanceof HTMLAnchorElement) || event.target.download === "") return;
          event.preventDefault();
          removeEventListener("click", onClick, true);
          resolve(event.target);
        };
        addEventListener("click", onClick, true);
      });
      await page.getByRole("button", { name: press }).click();
      const { href, download } = await link;
      return new File([await (await fetch(href)).blob()], download, { type: "application/zip" });
    } finally {
      if (picker) Object.defineProperty(window, "showSaveFilePicker", picker);
    }
  }

  test("saved from one bench it opens on another, with a report", async () => {
    const from = await showSettings(["B-1", "B-2"]);
    const file = await saved("Save the whole bench…");
    expect(file.name).toBe("endpair-bench-2026-03-02.zip");
    await expect.element(page.getByText(/Saved 2 breaks with 0 photographs/)).toBeVisible();
    await userEvent.upload(page.getByLabelText("Bench file to open"), file);
    await expect.element(page.getByRole("status").filter({ hasText: "2 breaks already here" })).toBeVisible();
    const { app, store } = await openApp();
    expect(await store.importBench(file, app.reader, "2026-03-02T09:00:00Z")).toMatchObject({
      added: ["B-1", "B-2"],
      same: [],
      differing: [],
    });
    expect((await from.bench.summaries()).length).toBe(2);
  });

  test("of the whole bench takes along what the lab has set up, and shows it at once", async () => {
    const from = await showSettings(["B-1"]);
    await from.bench.setSetting("profiles", [PROFILE]);
    await from.setLadder({ ...DEFAULT_LADDER, least: DEFAULT_LADDER.levels[1]!.id });
    const file = await saved("Save the whole bench…");
    cleanup();
    const to = await showSettings();
    await expect.element(page.getByText(PROFILE.name)).not.toBeInTheDocument();
    await userEvent.upload(page.getByLabelText("Bench file to open"), file);
    await expect
      .element(page.getByText("Set up as in the file: 1 calibration profile, the levels of confirmation."))
      .toBeVisible();
    await expect.element(page.getByText(PROFILE.name)).toBeVisible();
    expect(to.ladder.least).toBe(DEFAULT_LADDER.levels[1]!.id);
    await expect.poll(() => to.summaries.map(({ number }) => number)).toEqual(["B-1"]);
  });

  test("a file that is none is refused in words and changes nothing", async () => {
    const app = await showSettings(["B-1"]);
    await userEvent.upload(page.getByLabelText("Bench file to open"), new File(["not a zip"], "bench.zip"));
    await expect
      .element(page.getByRole("alert"))
      .toHaveTextContent("Choose a file that Endpair saved as a bench file.");
    expect(await app.bench.summaries()).toHaveLength(1);
  });
});

describe("reading the form of a profile", () => {
  const draft: ProfileDraft = {
    objective: "2×",
    zoom: "",
    camera: "",
    picture: "1920x1080",
    micrometer: "",
    lengthMm: "1",
    lengthUUm: "0,5",
    resolutionPx: "",
    x: "1000; 1001 999",
    y: "",
    calibratedOn: "2026-03-02",
    dueOn: "2027-03-02",
    by: "",
    drawn: [],
    photograph: null,
  };
  test("takes decimal commas, and parts readings by spaces or semicolons", () => {
    const read = readDraft(draft);
    expect(read.kind === "read" && read.readings.map((r) => r.px)).toEqual([1000, 1001, 999]);
    expect(read.kind === "read" && read.relativeU).toBe(0.0005);
  });
  test.each([
    ["lengthMm", { lengthMm: "0" }],
    ["lengthUUm", { lengthUUm: "about" }],
    ["x", { x: "1000 twelve 1001" }],
    ["y", { y: "-4" }],
    ["x", { x: "1000 1001" }],
    ["resolutionPx", { resolutionPx: "fine" }],
  ] as const)("names the field %s when it is wrong", (field, patch) => {
    const read = readDraft({ ...draft, ...patch });
    expect(read.kind === "incomplete" && read.faults.map((f) => f.field)).toContain(field);
  });
});

describe("a line drawn on the stage micrometer", () => {
  test("is a reading of the direction it runs in, and of none when it leans", () => {
    expect(readingOfLine([10, 10], [510, 15], 1)).toMatchObject({ direction: "x", lengthMm: 1 });
    expect(readingOfLine([10, 510], [12, 10], 0.5)).toMatchObject({ direction: "y", lengthMm: 0.5 });
    expect(readingOfLine([0, 0], [300, 400], 1)).toMatch(/leans by 37°/);
    expect(readingOfLine([5, 5], [5, 5], 1)).toMatch(/no length/);
  });
});
