import {
  BlobWriter,
  TextReader,
  Uint8ArrayReader,
  Uint8ArrayWriter,
  BlobReader,
  ZipReader,
  ZipWriter,
} from "@zip.js/zip.js/index-native.js";
import { describe, expect, test } from "vitest";
import { page, userEvent } from "vitest/browser";
import { referenceSetOf } from "../../web/reference/reference-set.svelte.ts";
import { setCheckOf } from "../../web/reference/set-check.svelte.ts";
import { optionsOf } from "../../web/reference/set-file.ts";
import { breakFile } from "../../web/storage/bench-file-format.ts";
import { checkInThread } from "../../web/workers/set-check-client.ts";
import { writeSetInThread } from "../../web/workers/set-export-client.ts";
import { openApp, showApp } from "./log-app.ts";
import { fileSetBreaks } from "./set-breaks.ts";

const TYPES = ["central_burst", "torsion", "fatigue"] as const;

/** A set as the screen writes it. */
async function writtenSet(breaks: number): Promise<File> {
  const { app, store } = await openApp();
  await fileSetBreaks(
    store,
    Array.from({ length: breaks }, (_, i) => ({ type: TYPES[i % 3]! })),
  );
  await app.attach(store);
  const set = referenceSetOf(app);
  await set.refresh();
  const version = (await set.freeze("1.0.0", "L. Lead", ""))!;
  const parts: Uint8Array<ArrayBuffer>[] = [];
  const given = { ...set.settings.given, creator: "Hollowmoor Wire (invented)" };
  await writeSetInThread(
    {
      plan: { members: set.members, splits: set.parts.of },
      options: optionsOf(given, version, app.ladder.levels, "seed"),
    },
    {
      async breakOf(id) {
        const { record, log } = (await store.load(id))!;
        return { record, log, file: breakFile(record, log, "torsion") };
      },
      original: (hash) => store.original(hash),
      write: (chunk) => Promise.resolve(void parts.push(chunk)),
    },
  );
  return new File(parts, "set.zip", { type: "application/zip", lastModified: 1 });
}

/** The same zip with some files changed; null takes one out. */
async function changed(file: File, change: Readonly<Record<string, (text: string) => string>>): Promise<File> {
  const reader = new ZipReader(new BlobReader(file), { useWebWorkers: false });
  const zip = new ZipWriter(new BlobWriter("application/zip"), { useWebWorkers: false });
  for (const entry of await reader.getEntries()) {
    if (entry.directory) continue;
    const bytes = await entry.getData(new Uint8ArrayWriter(), { useWebWorkers: false });
    const make = change[entry.filename];
    await zip.add(
      entry.filename,
      make ? new TextReader(make(new TextDecoder().decode(bytes))) : new Uint8ArrayReader(bytes),
    );
  }
  return new File([await zip.close()], "changed.zip", { lastModified: 1 });
}

let counter = 0;
const fresh = () => `check-${Date.now()}-${++counter}`;
const check = async (file: File, progressName = fresh()) => {
  const found = await checkInThread({ file, progressName });
  if ("noZip" in found) throw new Error(found.noZip);
  return found;
};

describe("checking a set in the browser", () => {
  test(
    "a set that the screen wrote has no fault, by schema and shapes too; planted ones are told by file",
    { timeout: 90_000 },
    async () => {
      const file = await writtenSet(9);
      expect(await check(file)).toMatchObject({ faults: 0, list: [], notDone: [], resumed: 0 });

      const planted = await changed(file, {
        "croissant.json": (text) => text.replace('"license"', '"licence"'),
        "tables/cases.csv": (text) => text.replace("s-1,S-1", "s-1,=S-1"),
        "annotations/instances_train.json": (text) => text.replace('"end":"A"', '"end":"C"'),
      });
      const { list, faults } = await check(planted);
      const codes = new Set(list.map(({ code }) => code));
      for (const code of ["croissant-form", "croissant-shape", "coco-form", "formula-cell", "wrong-hash"])
        expect([...codes]).toContain(code);
      expect(faults).toBeGreaterThanOrEqual(5);

      const { app, store } = await openApp();
      app.place = { screen: "set" };
      await showApp(app, store);
      await expect.element(page.getByRole("heading", { name: "Reference set" })).toBeVisible();
      await userEvent.keyboard("4");
      await userEvent.upload(page.getByLabelText("Set file"), planted);
      await expect.element(page.getByText(/changed\.zip: \d+ faults/), { timeout: 30_000 }).toBeVisible();
      const table = page.getByRole("table", { name: "Faults by file" });
      await expect.element(table.getByText("tables/cases.csv", { exact: true }).first()).toBeVisible();
      await expect.element(table.getByText("A spreadsheet would run this cell as a formula.")).toBeVisible();

      await userEvent.upload(page.getByLabelText("Set file"), new File(["no zip"], "letter.zip"));
      await expect.element(page.getByText("letter.zip cannot be checked: it is no whole zip file.")).toBeVisible();
      expect(setCheckOf(app).result).toBeNull();
    },
  );

  test("a check that was stopped goes on where it was, unless the file is another", { timeout: 90_000 }, async () => {
    const file = await writtenSet(24);
    const progressName = fresh();
    const stop = new AbortController();
    const checking = checkInThread(
      { file, progressName },
      { signal: stop.signal, onPart: (part) => part > 0.5 && stop.abort() },
    );
    await expect(checking).rejects.toMatchObject({ code: "cancelled" });
    const other = new File([file], file.name, { lastModified: 2 });
    const copy = fresh();
    expect((await check(other, copy)).resumed).toBe(0);
    const went = await check(file, progressName);
    expect(went.resumed).toBeGreaterThanOrEqual(32);
    expect(went.resumed).toBeLessThan(went.files);
    expect(went.faults).toBe(0);
    // Once it came to its end, a check begins anew.
    expect((await check(file, progressName)).resumed).toBe(0);
  });

  test("a fault among files that were read before the stop is still told", { timeout: 90_000 }, async () => {
    const file = await writtenSet(24);
    let first = true;
    const bad = await changed(file, {
      "manifest-sha256.txt": (text) =>
        text.replaceAll(/^[0-9a-f]{8}(?=.*images\/)/gm, (hash) => (first ? ((first = false), "00000000") : hash)),
    });
    const progressName = fresh();
    const stop = new AbortController();
    const checking = checkInThread(
      { file: bad, progressName },
      { signal: stop.signal, onPart: (part) => part > 0.5 && stop.abort() },
    );
    await expect(checking).rejects.toMatchObject({ code: "cancelled" });
    const went = await check(bad, progressName);
    expect(went.resumed).toBeGreaterThan(0);
    expect(went.list.filter(({ code, where }) => code === "wrong-hash" && where.startsWith("images/"))).toHaveLength(1);
  });
});
