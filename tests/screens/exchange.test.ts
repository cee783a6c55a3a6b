import { BlobWriter, TextReader, Uint8ArrayReader, ZipWriter } from "@zip.js/zip.js/index-native.js";
import { afterEach, describe, expect, test } from "vitest";
import { page, userEvent } from "vitest/browser";
import type { Edit } from "../../model/break/edits.ts";
import { DEFAULT_LADDER } from "../../model/reference/ladder.ts";
import { labSettings } from "../../web/lab/lab-settings.ts";
import { exchangeOf } from "../../web/exchange/exchange.svelte.ts";
import { textOf } from "../../web/exchange/bring-table.svelte.ts";
import type { App } from "../../web/shell/app.svelte.ts";
import type { BenchStore } from "../../web/storage/contract.ts";
import {
  begun,
  benchFileOf,
  edited,
  minute,
  realPicture,
  setOf,
  storeRealBreak,
  confirmed,
} from "../storage/exchange-benches.ts";
import { open } from "../storage/workbench.ts";
import { openApp, showApp } from "./log-app.ts";

const context = (patch: object): Edit => ({ kind: "set-context", patch });

async function showExchange(fill: (store: BenchStore) => Promise<void> = () => Promise.resolve()) {
  const { app, store } = await openApp();
  await fill(store);
  app.place = { screen: "exchange" };
  await showApp(app, store);
  await expect.element(page.getByRole("heading", { name: "Exchange", exact: true })).toBeVisible();
  return { app, store };
}
const show = (app: App, part: "benches" | "file" | "coco" | "table" | "log") => {
  exchangeOf(app).part = part;
};
const upload = (label: string, ...files: File[]) =>
  userEvent.upload(page.getByLabelText(label, { exact: true }), files);

describe("sets and bench files", () => {
  test("looked at first, then brought together; a field with two values is settled by one press, also after a reload", async () => {
    const other = await open();
    await begun(other, "x", "B-1", context({ grade: "ETP" }), minute(0));
    const { app, store } = await showExchange(async (here) => {
      await begun(here, "x", "B-1", context({ grade: "ETP" }), minute(0));
      await edited(here, "x", context({ metal: "copper" }), "AB", minute(5));
    });
    await edited(other, "x", context({ metal: "steel" }), "CD", minute(6));
    await storeRealBreak(other, "y", 3);
    await userEvent.keyboard("2");
    await upload("Set or bench file", new File([await benchFileOf(other)], "works-lab.zip"));
    await expect.element(page.getByText("2 breaks, all hashes right")).toBeVisible();
    await expect.element(page.getByText(/both histories become one, one field to settle afterwards/)).toBeVisible();
    expect((await store.load("x"))!.record.context.metal).toBe("copper");
    await userEvent.keyboard("b");
    await expect.element(page.getByText(/1 break added, 1 break brought together, 1 photograph/)).toBeVisible();
    await expect.element(page.getByRole("heading", { name: "To settle: one field" })).toBeVisible();
    await expect.element(page.getByText(/^CD, 2 Mar 2026/)).toBeVisible();
    const { log } = (await store.load("x"))!;
    // Another start of the application finds it in the log.
    exchangeOf(app).unsettled.breaks = [];
    await exchangeOf(app).open();
    await page.getByRole("button", { name: "B-1, metal: it is copper, by AB" }).click();
    await expect.element(page.getByRole("heading", { name: /To settle/ })).not.toBeInTheDocument();
    const after = (await store.load("x"))!;
    expect(after.record.context.metal).toBe("copper");
    expect(after.log).toHaveLength(log.length + 1);
    expect(await store.lackingCopies()).toEqual([]);
    show(app, "log");
    await expect.element(page.getByRole("cell", { name: /works-lab.zip/ })).toBeVisible();
  });

  test("a bench file brings what its lab has set up where wanted; nothing but settings is enough to bring in", async () => {
    const other = await open();
    await begun(other, "x", "B-1", context({ grade: "ETP" }), minute(0));
    await other.setSetting("ladder", { ...DEFAULT_LADDER, least: DEFAULT_LADDER.levels[0]!.id });
    const file = new File([await benchFileOf(other, null, await labSettings(other))], "works-lab.zip");
    const { app } = await showExchange(async (here) => {
      await begun(here, "x", "B-1", context({ grade: "ETP" }), minute(0));
    });
    await userEvent.keyboard("2");
    await upload("Set or bench file", file);
    const wanted = page.getByRole("checkbox", { name: /with what its lab has set up/ });
    await wanted.click();
    await expect.element(page.getByRole("button", { name: /Nothing to bring in/ })).toBeDisabled();
    await wanted.click();
    await page.getByRole("button", { name: /Bring in the settings/ }).click();
    await expect.element(page.getByText(/Set up as in the file: the levels of confirmation\./)).toBeVisible();
    expect(app.ladder.least).toBe(DEFAULT_LADDER.levels[0]!.id);
  });

  test("another lab's set says its version and licence; a break recorded here by itself stays as it is", async () => {
    const lab = await open();
    await storeRealBreak(lab, "x", 1);
    await edited(lab, "x", confirmed("c", "central_burst", "AB", minute(1)), "AB", minute(1));
    const { app, store } = await showExchange((here) => storeRealBreak(here, "mine", 1));
    const before = await store.load("mine");
    show(app, "file");
    await upload("Set or bench file", new File([await setOf(lab)], "set.zip"));
    await expect.element(page.getByRole("heading", { name: "lab-breaks, version 1.0.0" })).toBeVisible();
    await expect.element(page.getByText("CC BY 4.0")).toBeVisible();
    await expect.element(page.getByText(/B-mine here \(the same photographs\)/)).toBeVisible();
    await expect.element(page.getByRole("button", { name: /Nothing to bring in/ })).toBeDisabled();
    await page.getByRole("radio", { name: "take it in as a copy" }).click();
    await page.getByRole("button", { name: /Bring in 1 break/ }).click();
    await expect.element(page.getByText("1 break filed as copies.")).toBeVisible();
    expect(await store.load("mine")).toEqual(before);
    const copy = app.summaries.find(({ id }) => id.startsWith("copy-"))!;
    expect((await store.load(copy.id))!.record.cameWith).toMatchObject([{ name: "lab-breaks", version: "1.0.0" }]);
    show(app, "log");
    await expect.element(page.getByRole("cell", { name: /CC BY 4\.0/ })).toBeVisible();
  });

  test("a damaged file is refused with what to do", async () => {
    const { app, store } = await showExchange();
    show(app, "file");
    await upload("Set or bench file", new File(["no zip"], "broken.zip"));
    await expect
      .element(page.getByRole("alert"))
      .toHaveTextContent(/Nothing was brought in. broken.zip: It is no whole zip file/);
    expect(await store.summaries()).toEqual([]);
  });
});

describe("other benches", () => {
  const folders: string[] = [];
  afterEach(async () => {
    const root = await navigator.storage.getDirectory();
    for (const name of folders.splice(0)) await root.removeEntry(name, { recursive: true }).catch(() => undefined);
  });

  test("named, a folder chosen, exchanged by one key; the folder is kept; numbers used twice are told", async () => {
    const name = `meeting-screen-${Date.now()}`;
    folders.push(name);
    const folder = await (await navigator.storage.getDirectory()).getDirectoryHandle(name, { create: true });
    const other = await open();
    await begun(other, "theirs", "B-1", context({ metal: "steel" }), minute(0));
    const { layDown } = await import("../../web/storage/exchange-lay-down.ts");
    await layDown(folder, { id: "o", name: "Works lab" }, other, minute(1), {});
    const { app, store } = await showExchange((here) =>
      begun(here, "ours", "B-1", context({ metal: "copper" }), minute(0)),
    );
    await expect.element(page.getByRole("button", { name: /^Exchange/ })).toBeDisabled();
    await page.getByLabelText("Name of this bench").fill("Microscope room");
    await userEvent.keyboard("{Tab}");
    await exchangeOf(app).meeting.use(folder);
    await expect.element(page.getByRole("button", { name: /^Exchange/ })).toBeEnabled();
    await page.getByRole("button", { name: /^Exchange/ }).click();
    await expect.element(page.getByText(/Met Works lab .*: 1 break came or changed/)).toBeVisible();
    expect((await store.load("theirs"))!.record.context.metal).toBe("steel");
    await expect.element(page.getByText(/Two breaks have one number/)).toBeVisible();
    expect(await store.getSetting("exchange-folder")).toBeInstanceOf(FileSystemDirectoryHandle);
    const mine = await folder.getDirectoryHandle("benches");
    const names: string[] = [];
    for await (const [entry] of mine.entries()) names.push(entry);
    expect(names.some((one) => one.startsWith("Microscope-room-"))).toBe(true);
    await (await navigator.storage.getDirectory()).removeEntry(name, { recursive: true });
    await page.getByRole("button", { name: /^Exchange/ }).click();
    await expect.element(page.getByRole("alert")).toHaveTextContent(/cannot be reached.*Connect the network drive/);
  });

  test("a tab that only reads looks at files and brings nothing in", async () => {
    const { app } = await showExchange((here) => begun(here, "x", "B-1", context({ metal: "steel" }), minute(0)));
    app.mode = "reader";
    await expect.element(page.getByText(/This tab only reads/)).toBeVisible();
    show(app, "table");
    await upload("Spreadsheet of old records", new File(["no\nB-7"], "old.csv"));
    await expect.element(page.getByRole("button", { name: /Bring in 1 line/ })).toBeDisabled();
  });
});

describe("old records", () => {
  const csv = [
    "Probe;Datum;Werkstoff;Durchmesser mm;Charge;Bruchart;Prüfer",
    "A-1;31.3.2026;copper;1,60;K7;central burst;AB",
    "A-2;31.2.2026;copper;1,60;K7;;AB",
    "A-3;1.4.2026;copper;viel;K8;;AB",
    "B-1;2.4.2026;steel;2,5;K9;;AB",
  ].join("\r\n");
  const file = () => new File([csv], "altes.csv");

  test("columns are proposed and kept under a name; faults by line and column; good lines come in", async () => {
    const { app, store } = await showExchange((here) =>
      begun(here, "b1", "B-1", context({ metal: "copper" }), minute(0)),
    );
    show(app, "table");
    await upload("Spreadsheet of old records", file());
    await expect.element(page.getByLabelText("Probe holds")).toHaveValue("number");
    await expect.element(page.getByLabelText("Durchmesser mm holds")).toHaveValue("diameterMm");
    await expect
      .element(page.getByText(/4 lines; 1 line would become breaks; 3 lines with faults stay out/))
      .toBeVisible();
    for (const row of [
      /3 Datum "31.2.2026" is no day/,
      /4 Durchmesser mm "viel" is no number/,
      /5 Probe The bench has a break B-1/,
    ])
      await expect.element(page.getByRole("row", { name: row })).toBeVisible();
    await page.getByLabelText("Prüfer holds").selectOptions("notes");
    await page.getByLabelText("Keep these columns as").fill("old lab book");
    await page.getByRole("button", { name: "Keep", exact: true }).click();
    await expect.element(page.getByText(/kept as “old lab book”/)).toBeVisible();
    await page.getByRole("button", { name: /Bring in 1 line/ }).click();
    await expect.element(page.getByText(/1 break added, 3 lines with faults left out/)).toBeVisible();
    const { id } = app.summaries.find(({ number }) => number === "A-1")!;
    const { record } = (await store.load(id))!;
    expect(record.context).toMatchObject({
      brokeAt: "2026-03-31",
      metal: "copper",
      nominalDiameterMm: 1.6,
      cast: "K7",
    });
    expect(record.context.notes).toContain("The old record calls it central burst.");
    expect(record.confirmations).toEqual([]);
    expect(record.cameWith).toMatchObject([{ kind: "table", name: "altes.csv" }]);
    await upload("Spreadsheet of old records", file());
    await expect.element(page.getByText(/kept as “old lab book”/)).toBeVisible();
    await expect.element(page.getByLabelText("Prüfer holds")).toHaveValue("notes");
  });

  test("facts are added to known numbers only when said so, and nothing is overwritten", async () => {
    const { app, store } = await showExchange((here) =>
      begun(here, "b1", "B-1", context({ metal: "copper" }), minute(0)),
    );
    show(app, "table");
    await upload("Spreadsheet of old records", file());
    await page.getByRole("checkbox", { name: /add what is not known there yet/ }).click();
    await expect.element(page.getByText(/1 line would add facts/)).toBeVisible();
    await expect.element(page.getByRole("row", { name: "B-1 metal copper steel" })).toBeVisible();
    await page.getByRole("button", { name: /Bring in 2 lines/ }).click();
    await expect.element(page.getByText(/1 break added, facts added to 1 break/)).toBeVisible();
    expect((await store.load("b1"))!.record.context).toMatchObject({
      metal: "copper",
      cast: "K9",
      nominalDiameterMm: 2.5,
      brokeAt: "2026-04-02",
    });
  });

  test("what old spreadsheets of Western Europe wrote is read; what is no text is refused", () => {
    expect(textOf(new Uint8Array([0x50, 0x72, 0xfc, 0x66, 0x65, 0x72]).buffer)).toBe("Prüfer");
    expect(textOf(new Uint8Array([0x50, 0x4b, 3, 4, 0, 0]).buffer)).toBeNull();
  });
});

describe("marks of pictures", () => {
  const coco = (images: readonly object[], annotations: readonly object[]) =>
    JSON.stringify({
      info: { description: "Pits", version: "2", contributor: "KL" },
      licenses: [{ id: 1, name: "CC0", url: "" }],
      categories: [
        { id: 1, name: "rust" },
        { id: 2, name: "dirt" },
      ],
      images,
      annotations: annotations.map((one, i) => ({ id: i + 1, ...one })),
    });
  const image = (id: number, name: string, over: object = {}) => ({
    id,
    file_name: name,
    width: 400,
    height: 300,
    ...over,
  });

  test("a zip: mapped by the person, sizes checked, outlines in place, by case and end; a second time all known", async () => {
    const zip = new ZipWriter(new BlobWriter("application/zip"), { useWebWorkers: false });
    const text = coco(
      [
        image(1, "a.png", { case_id: "C1", end: "A", view: "end_on" }),
        image(2, "b.png", { case_id: "C1", end: "B", view: "side_0" }),
        image(3, "c.png", { width: 300, height: 400 }),
        image(4, "gone.png"),
      ],
      [
        { image_id: 1, category_id: 1, segmentation: [[10, 10, 50, 10, 50, 40]] },
        { image_id: 2, category_id: 2, segmentation: [[1, 1, 9, 1, 9, 9]] },
        { image_id: 3, category_id: 1, segmentation: [[1, 1, 9, 1, 9, 9]] },
      ],
    );
    await zip.add("annotations/marks.json", new TextReader(text));
    for (const [i, name] of ["a", "b", "c"].entries())
      await zip.add(`images/${name}.png`, new Uint8ArrayReader(await realPicture(i + 1)));
    const file = new File([await zip.close()], "pits.zip");
    const { app, store } = await showExchange();
    show(app, "coco");
    await upload("Marks and pictures", file);
    await expect.element(page.getByText(/4 pictures named, 2 can come in, 2 faults below/)).toBeVisible();
    await expect
      .element(page.getByRole("row", { name: /c.png: the marks were drawn on the picture lying on its side/ }))
      .toBeVisible();
    await expect.element(page.getByRole("row", { name: /gone.png The picture is not among the files/ })).toBeVisible();
    await expect.element(page.getByLabelText("One break for")).toHaveValue("word:case_id");
    await expect.element(page.getByRole("button", { name: /Bring in 1 break with 0 marks/ })).toBeDisabled();
    await page.getByLabelText("rust stands for").selectOptions("face_deposit");
    await page.getByLabelText("dirt stands for").selectOptions("leave-out");
    await page.getByRole("button", { name: /Bring in 1 break with 1 mark/ }).click();
    await expect.element(page.getByText("1 break added, 2 photographs, 1 marks in place.")).toBeVisible();
    const { record } = (await store.load(app.summaries[0]!.id))!;
    expect(record.number).toBe("C1");
    expect(record.ends.machine.marks.map(({ feature, geometry }) => [feature, geometry])).toEqual([
      [
        "face_deposit",
        {
          type: "polygon",
          points: [
            [10, 10],
            [50, 10],
            [50, 40],
          ],
        },
      ],
    ]);
    expect(record.ends.takeUp.photographs.map(({ view }) => view)).toEqual(["side_0"]);
    expect(record.cameWith).toMatchObject([
      { kind: "pictures", name: "Pits", version: "2", licence: "CC0", creator: "KL" },
    ]);
    expect(await store.thumbnail(record.ends.machine.photographs[0]!.hash)).not.toBeNull();
    await upload("Marks and pictures", file);
    await expect.element(page.getByText(/2 on this bench already/)).toBeVisible();
  });

  test("files without marks are refused", async () => {
    const { app } = await showExchange();
    show(app, "coco");
    await upload("Marks and pictures", new File(["{}"], "x.json"));
    await expect.element(page.getByRole("alert")).toHaveTextContent(/x.json: This is no COCO file/);
  });
});
