import { describe, expect, it } from "vitest";
import { recalibrated, type Calibration, type ScaleProfile } from "../../model/measure/profile.ts";
import { DEFAULT_LADDER, type Ladder } from "../../model/reference/ladder.ts";
import type { FrozenVersion } from "../../model/reference/set-version-frozen.ts";
import { bringLabSettings, readLabSettings } from "../../web/lab/bring-lab-settings.ts";
import { KEYS, labSettings, type LabSettings } from "../../web/lab/lab-settings.ts";
import { EMPTY_SHELF, keepFile, readKept, readShelf, writeShelf, type Shelf } from "../../web/model/model-shelf.ts";
import { FRESH_SETTINGS, keepPeopleSeed, keptSetSettings, writeSetSettings } from "../../web/reference/set-settings.ts";
import { keepVersion, readVersions } from "../../web/reference/version-shelf.ts";
import { benchFileOf } from "./exchange-benches.ts";
import { MANIFEST_PATH, SETTINGS_PATH } from "../../web/storage/bench-file-format.ts";
import { sha256Hex } from "../../web/storage/canonical.ts";
import type { BenchStore } from "../../web/storage/contract.ts";
import { pack, seal, text, unpack, utf8 } from "./forge.ts";
import { addMark, AT, open, rejection, working } from "./workbench.ts";

const BY = "B. Importer";

const calibration: Calibration = {
  pxPerMm: { value: 412.5, u: 0.4 },
  readings: [
    { lengthMm: 1, px: 412.3, direction: "x" },
    { lengthMm: 1, px: 412.6, direction: "x", line: [[10, 20], [422.6, 20]] }, // prettier-ignore
    { lengthMm: 1, px: 412.6, direction: "y" },
  ],
  micrometer: { number: "SM-7", relativeU: 0.0005 },
  resolutionPx: 1,
  picturePx: [4000, 3000],
  by: "A. Reader",
  calibratedAt: "2026-01-10T08:00:00Z",
  dueAt: "2027-01-10T08:00:00Z",
};
const profile: ScaleProfile = {
  ...calibration,
  id: "p1",
  name: "2× · zoom 1.5 · camera A",
  setUp: { objective: "2×", zoom: "1.5", camera: "A" },
};
const later = (p: ScaleProfile, day: string, value: number): ScaleProfile =>
  recalibrated(p, { ...calibration, pxPerMm: { value, u: 0.4 }, calibratedAt: `2026-${day}T08:00:00Z` });

const ladder: Ladder = { ...DEFAULT_LADDER, least: DEFAULT_LADDER.levels[0]!.id };
const series = {
  name: "row 4",
  machine: "RB-2",
  dies: [
    {
      name: "1",
      inMm: 5,
      outMm: 4.5,
      semiAngleDeg: 6,
      bearingMm: null,
      lubricant: null,
      friction: { kind: "mu", value: 0.05, low: 0.03, high: 0.08 },
      tonnes: null,
      wear: null,
    },
  ],
};
const mapping = { name: "old book", separator: ";", columns: [["Nr", "number"], ["Bemerkung", null]] }; // prettier-ignore
const version: FrozenVersion = {
  name: "wire-breaks",
  version: "1.0.0",
  date: "2026-02-01",
  members: [{ breakId: "case-1", number: "B-1", type: "torsion", split: "test", level: null, reason: "" }],
  by: "A. Reader",
  at: "2026-02-01T08:00:00Z",
  note: "first",
  plan: { ...FRESH_SETTINGS.plan },
  level: null,
  testGroups: ["break:b1"],
  revisions: [3],
  leftOut: [],
};

async function setUp(store: BenchStore): Promise<string> {
  await store.setSetting(KEYS.profiles, [later(profile, "03-01", 413)]);
  await store.setSetting(KEYS.ladder, ladder);
  await store.setSetting(KEYS.dieSeries, [series]);
  await store.setSetting(KEYS.mappings, [mapping]);
  const leftOut = [{ breakId: "b9", number: "B-9", reason: "blurred", by: "A. Reader", at: AT }];
  await writeSetSettings(store, { ...FRESH_SETTINGS, leftOut });
  await keepVersion(store, version);
  await keepPeopleSeed(store, "a secret of this lab");
  return learnt(store, new Uint8Array([1, 2, 3, 250]));
}

/** A model of the shelf, in use. @returns its digest. */
async function learnt(store: BenchStore, file: Uint8Array<ArrayBuffer>, digest?: string): Promise<string> {
  const name = digest ?? (await sha256Hex(file));
  await keepFile(store, name, file, ["b1"]);
  const shelf: Shelf = {
    ...EMPTY_SHELF,
    inUse: name,
    models: [
      { digest: name, name: "ours", from: "learnt-here", byteLength: 4, breaks: 80, types: 9, right: 0.9, judged: 70 },
    ],
    lines: [{ kind: "adopted", digest: name, by: "A. Reader", at: AT, why: "not worse" }],
    weights: { [name]: { perUnit: 1.2, model: 0.4, breaks: 80 } },
  };
  await writeShelf(store, shelf);
  return name;
}

const wholeBench = async (store: BenchStore): Promise<Blob> => benchFileOf(store, null, await labSettings(store));

/** As it comes out of a file: text and back. */
async function carried(store: BenchStore): Promise<LabSettings> {
  const read = readLabSettings(JSON.parse(JSON.stringify(await labSettings(store))));
  if (read === null) throw new Error("The settings of a bench were not read back.");
  return read;
}

describe("what a lab has set up", () => {
  it("travels with the whole bench and is the same on an empty one", async () => {
    const first = await open();
    await first.commit(working("b1").edit(addMark("m1")).commit());
    const digest = await setUp(first);
    const second = await open();
    const { settings, added } = await second.importBench(await wholeBench(first), BY, AT);
    expect(added).toEqual(["B-b1"]);
    const report = await bringLabSettings(second, readLabSettings(settings)!);
    expect(report).toEqual({
      brought: [
        "1 calibration profile",
        "the levels of confirmation",
        "1 die series",
        "1 column mapping",
        "the codes of people",
        "the rules of the reference set",
        "1 version of the reference set",
        "1 learnt model",
        "the model in use",
      ],
      kept: [],
    });
    expect(await labSettings(second)).toEqual(await labSettings(first));
    expect((await readKept(second, digest))?.file).toEqual(new Uint8Array([1, 2, 3, 250]));
    expect(await bringLabSettings(second, readLabSettings(settings)!)).toEqual({ brought: [], kept: [] });
  });

  it("is nothing on a bench where nobody set anything, and a file of breaks alone has none", async () => {
    const store = await open();
    await store.commit(working("b1").edit(addMark("m1")).commit());
    expect(await labSettings(store)).toBeNull();
    expect([...(await unpack(await wholeBench(store))).keys()]).not.toContain(SETTINGS_PATH);
  });

  it("stays as it is where it was set otherwise, and that is told", async () => {
    const [here, there] = [await open(), await open()];
    await setUp(there);
    await here.setSetting(KEYS.ladder, DEFAULT_LADDER);
    await here.setSetting(KEYS.mappings, [{ ...mapping, separator: "," }]);
    await keepVersion(here, { ...version, note: "another first" });
    await keepPeopleSeed(here, "a secret of its own");
    const mine = await learnt(here, new Uint8Array([9, 9]));
    await writeSetSettings(here, { ...FRESH_SETTINGS, level: "both-ends" });
    const before = await labSettings(here);
    const { brought, kept } = await bringLabSettings(here, await carried(there));
    expect(kept).toEqual([
      "the levels of confirmation",
      "the column mapping “old book”",
      "the rules of the reference set",
      "version 1.0.0 of the reference set",
    ]);
    expect(brought).toEqual([
      "1 calibration profile",
      "1 die series",
      "1 choice for the reference set",
      "1 learnt model",
    ]);
    const after = await labSettings(here);
    expect(after).toMatchObject({ ladder: before!.ladder, mappings: before!.mappings, peopleSeed: before!.peopleSeed });
    expect((await readVersions(here)).map(({ note }) => note)).toEqual(["another first"]);
    expect(await readShelf(here)).toMatchObject({ inUse: mine, lines: before!.shelf.lines });
    expect((await readShelf(here)).models).toHaveLength(2);
    expect(await keptSetSettings(here)).toMatchObject({ level: "both-ends", leftOut: [{ breakId: "b9" }] });
  });

  it("of a calibration the one that went on from the other is taken; two that went apart stay as they are", async () => {
    const bring = async (mine: ScaleProfile, theirs: ScaleProfile) => {
      const [here, there] = [await open(), await open()];
      await here.setSetting(KEYS.profiles, [mine]);
      await there.setSetting(KEYS.profiles, [theirs]);
      const report = await bringLabSettings(here, await carried(there));
      return { ...report, now: await here.getSetting(KEYS.profiles) };
    };
    const march = later(profile, "03-01", 413);
    const april = later(march, "04-01", 411);
    expect(await bring(profile, april)).toEqual({ brought: ["1 newer calibration"], kept: [], now: [april] });
    expect(await bring(april, profile)).toEqual({ brought: [], kept: [], now: [april] });
    const other = later(profile, "03-15", 409);
    const kept = [`the calibration of “${profile.name}”`];
    expect(await bring(march, other)).toEqual({ brought: [], kept, now: [march] });
  });

  it("a model whose file is not whole is left out, and not taken into use", async () => {
    const [here, there] = [await open(), await open()];
    await learnt(there, new Uint8Array([1, 2, 3]), "0".repeat(64));
    const report = await bringLabSettings(here, await carried(there));
    expect(report).toEqual({ brought: [], kept: ["the model “ours”, whose file is not whole,"] });
    expect(await readShelf(here)).toEqual(EMPTY_SHELF);
  });

  it("cut off at any write, it goes on from there when it is brought in again", async () => {
    const there = await open();
    await setUp(there);
    const from = await carried(there);
    for (let most = 0; ; most++) {
      const here = await open();
      let writes = 0;
      const cut: Pick<BenchStore, "getSetting" | "setSetting"> = {
        getSetting: (key) => here.getSetting(key),
        setSetting: (key, value) =>
          ++writes > most ? Promise.reject(new Error("cut off")) : here.setSetting(key, value),
      };
      const whole = await bringLabSettings(cut, from).catch(() => null);
      if (whole !== null) break;
      await bringLabSettings(here, from);
      expect(await labSettings(here), `after ${most} writes`).toEqual(from);
    }
  });
});

describe("settings in a file that somebody changed", () => {
  it("with a field of another kind, or one that does not belong, are not used", async () => {
    const store = await open();
    await setUp(store);
    const whole = (await labSettings(store)) as unknown as Record<string, unknown>;
    expect(readLabSettings(whole)).not.toBeNull();
    for (const change of [
      { version: 2 },
      { format: "other" },
      { more: 1 },
      { profiles: [{ ...profile, pxPerMm: { value: "412", u: 0 } }] },
      { ladder: { levels: [], least: "none" } },
      { dieSeries: [{ ...series, dies: [{ ...series.dies[0], outMm: -1 }] }] },
      { mappings: [{ ...mapping, columns: [["Nr", "__proto__"]] }] },
      { versions: [{ ...version, revisions: [] }] },
      { versions: [{ ...version, version: "newest" }] },
      { models: { "../escape": { base64: "AA==", learntFrom: null } } },
      { models: { ["0".repeat(64)]: { base64: "<script>", learntFrom: null } } },
    ])
      expect(readLabSettings({ ...whole, ...change }), JSON.stringify(change).slice(0, 60)).toBeNull();
  });

  it("must be announced by the version of the file, and be the very ones that were written", async () => {
    const store = await open();
    await setUp(store);
    const files = await unpack(await wholeBench(store));
    const changed = new Map(files).set(SETTINGS_PATH, utf8({ ...JSON.parse(text(files, SETTINGS_PATH)), more: 1 }));
    const empty = await open();
    expect(await rejection(empty.importBench(await pack(changed), BY, AT))).toMatchObject({ code: "hash-mismatch" });
    const manifest = JSON.parse(text(files, MANIFEST_PATH)) as object;
    const older = await seal(new Map(files).set(MANIFEST_PATH, utf8({ ...manifest, version: 1 })));
    expect(await rejection(empty.importBench(await pack(older), BY, AT))).toMatchObject({ code: "damaged-record" });
    const newer = await seal(new Map(files).set(MANIFEST_PATH, utf8({ ...manifest, version: 3 })));
    expect(await rejection(empty.importBench(await pack(newer), BY, AT))).toMatchObject({ code: "unknown-version" });
    expect(await labSettings(empty)).toBeNull();
  });
});
