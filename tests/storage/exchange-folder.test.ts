import { afterEach, beforeEach, describe, expect, test } from "vitest";
import type { Edit } from "../../model/break/edits.ts";
import { exchangeBenches, type Exchanged } from "../../web/exchange/exchange-benches.ts";
import type { BenchStore } from "../../web/storage/contract.ts";
import { otherBenches } from "../../web/storage/exchange-folder.ts";
import { layDown } from "../../web/storage/exchange-lay-down.ts";
import { FolderError } from "../../web/storage/folder-files.ts";
import { begun, contentOf, edited, minute } from "./exchange-benches.ts";
import { bytesOf, jpegBytes, newOriginal, open, photograph, rejection, storeBreakWithPhotograph } from "./workbench.ts";

const context = (patch: object): Edit => ({ kind: "set-context", patch });
const A = { id: "a-1", name: "Microscope room" };
const B = { id: "b-2", name: "Works lab" };

let name = "";
let folder: FileSystemDirectoryHandle;
let count = 0;
beforeEach(async () => {
  name = `meeting-${Date.now()}-${++count}`;
  folder = await (await navigator.storage.getDirectory()).getDirectoryHandle(name, { create: true });
});
afterEach(async () => {
  await (await navigator.storage.getDirectory()).removeEntry(name, { recursive: true }).catch(() => undefined);
});

type So = Pick<Exchanged, "taken" | "notTaken" | "met" | "unread">;
async function exchange(store: BenchStore, own: typeof A, at: string, signal?: AbortSignal) {
  let so: So = { taken: [], notTaken: [], met: [], unread: [] };
  const work = signal ? { signal } : {};
  const laid = await exchangeBenches(folder, { store, own, by: own.name, at }, (now) => (so = now), work);
  return { ...so, laid, fates: so.taken.map(({ fate }) => fate) };
}

async function filesUnder(at: FileSystemDirectoryHandle, path = ""): Promise<Map<string, number>> {
  const found = new Map<string, number>();
  for await (const [entry, handle] of at.entries())
    if (handle.kind === "directory") for (const [k, v] of await filesUnder(handle, `${path}${entry}/`)) found.set(k, v);
    else found.set(path + entry, (await handle.getFile()).lastModified);
  return found;
}

describe("a folder where benches meet", () => {
  test("both ways: breaks and photographs come once, edits of both stand on both, and then it is quiet", async () => {
    const [a, b] = [await open(), await open()];
    await storeBreakWithPhotograph(a, "x", 1);
    await begun(b, "y", "B-y", context({ grade: "ETP" }), minute(0));
    expect((await exchange(a, A, minute(1))).laid).toEqual({ breaks: 1, originals: 1 });
    const first = await exchange(b, B, minute(2));
    expect([first.fates, first.laid, first.met.map((m) => m.name)]).toEqual([
      ["added"],
      { breaks: 2, originals: 0 },
      [A.name],
    ]);
    expect((await exchange(a, A, minute(3))).fates).toEqual(["same", "added"]);
    expect(await contentOf(a)).toEqual(await contentOf(b));
    const hash = (await b.load("x"))!.record.ends.machine.photographs[0]!.hash;
    expect(await bytesOf(await b.original(hash))).toEqual(await bytesOf(await a.original(hash)));

    await edited(a, "x", context({ metal: "copper" }), "AB", minute(10));
    await edited(b, "x", context({ coil: "C1" }), "CD", minute(11));
    expect((await exchange(a, A, minute(12))).laid.breaks).toBeGreaterThan(0);
    expect((await exchange(b, B, minute(13))).fates).toContain("merged");
    expect((await exchange(a, A, minute(14))).fates).toContain("merged");
    expect(await contentOf(a)).toEqual(await contentOf(b));
    // b still has to hear of the lines that say a knows: text of the break changed, content not.
    await exchange(b, B, minute(15));
    await exchange(a, A, minute(16));
    const quiet = [await exchange(a, A, minute(17)), await exchange(b, B, minute(18))];
    for (const { fates, laid } of quiet) expect([fates, laid.breaks]).toEqual([[], 0]);
    expect(await contentOf(a)).toEqual(await contentOf(b));
  });

  test("each bench writes in its own folder, only what changed, and photographs never a second time", async () => {
    const a = await open();
    await storeBreakWithPhotograph(a, "x", 1);
    await begun(a, "y", "B-y", context({ grade: "ETP" }), minute(0));
    await exchange(a, A, minute(1));
    const before = await filesUnder(folder);
    expect([...before.keys()].map((path) => path.replace(/[0-9a-f]{64}/, "hash")).sort()).toEqual([
      "benches/Microscope-room-a-1/bench.json",
      "benches/Microscope-room-a-1/breaks/x.json",
      "benches/Microscope-room-a-1/breaks/y.json",
      "originals/hash.jpg",
    ]);
    await new Promise((resolve) => setTimeout(resolve, 20));
    await edited(a, "y", context({ cast: "K" }), "AB", minute(2));
    expect((await exchange(a, A, minute(3))).laid).toEqual({ breaks: 1, originals: 0 });
    const after = await filesUnder(folder);
    const changed = [...after]
      .filter(([path, time]) => before.get(path) !== time)
      .map(([path]) => path.split("/").at(-1));
    expect(changed.sort()).toEqual(["bench.json", "y.json"]);
  });

  test("stopped half way: whole breaks only, and the next exchange goes on", async () => {
    const [a, b] = [await open(), await open()];
    for (let i = 0; i < 4; i++) await storeBreakWithPhotograph(a, `x${i}`, i + 1);
    await exchange(a, A, minute(1));
    const stop = new AbortController();
    let taken = 0;
    const failure = await rejection(
      exchangeBenches(
        folder,
        { store: b, own: B, by: "CD", at: minute(2) },
        (so) => {
          taken = so.taken.length;
          if (taken === 2) stop.abort();
        },
        { signal: stop.signal },
      ),
    );
    expect(failure).toMatchObject({ code: "cancelled" });
    expect((await b.summaries()).map((s) => s.id)).toEqual(["x0", "x1"]);
    const rest = await exchange(b, B, minute(3));
    expect(rest.fates).toEqual(["added", "added"]);
    expect(await contentOf(b)).toEqual(await contentOf(a));
  });

  test("a break or a photograph that is not whole is left for the next time, and said", async () => {
    const [a, b] = [await open(), await open()];
    await storeBreakWithPhotograph(a, "x", 1);
    await begun(a, "y", "B-y", context({ grade: "ETP" }), minute(0));
    await exchange(a, A, minute(1));
    const mine = await (await folder.getDirectoryHandle("benches")).getDirectoryHandle("Microscope-room-a-1");
    const write = async (at: FileSystemDirectoryHandle, file: string, bytes: BlobPart) => {
      const stream = await (await at.getFileHandle(file, { create: true })).createWritable();
      await stream.write(new Blob([bytes]));
      await stream.close();
    };
    const breaks = await mine.getDirectoryHandle("breaks");
    const whole = await (await (await breaks.getFileHandle("y.json")).getFile()).text();
    await write(breaks, "y.json", whole.slice(0, 100));
    const originals = await folder.getDirectoryHandle("originals");
    const [picture] = [...(await filesUnder(originals)).keys()];
    await write(originals, picture!, new Uint8Array(jpegBytes(10, 9)));
    const met = await exchange(b, B, minute(2));
    expect(met.notTaken.map(({ why }) => why)).toEqual([expect.stringContaining("just being written")]);
    expect(met.taken.map(({ fate, lacking }) => [fate, lacking])).toEqual([["added", ["x.jpg"]]]);
    await write(breaks, "y.json", whole);
    await write(originals, picture!, new Uint8Array(jpegBytes(4_000, 1)));
    const again = await exchange(b, B, minute(3));
    expect(again.fates.sort()).toEqual(["added", "same"]);
    expect(again.notTaken).toEqual([]);
    const hash = (await b.load("x"))!.record.ends.machine.photographs[0]!.hash;
    expect(await b.known([hash])).toEqual(new Set([hash]));
  });

  test("the folder gone: said in words, the bench as it was", async () => {
    const a = await open();
    await storeBreakWithPhotograph(a, "x", 1);
    await (await navigator.storage.getDirectory()).removeEntry(name, { recursive: true });
    const failure = await rejection(exchange(a, A, minute(1)));
    expect(failure).toBeInstanceOf(FolderError);
    expect(failure).toMatchObject({ code: "gone" });
    expect((await a.summaries()).map((s) => s.id)).toEqual(["x"]);
  });

  test("a full disk at the meeting point: said in words, and what was written before is whole", async () => {
    const a = await open();
    await storeBreakWithPhotograph(a, "x", 1);
    await begun(a, "y", "B-y", context({ grade: "ETP" }), minute(0));
    const real = Reflect.get(FileSystemWritableFileStream.prototype, "write") as (...data: unknown[]) => Promise<void>;
    let writes = 0;
    FileSystemWritableFileStream.prototype.write = function (...data) {
      return ++writes > 2 ? Promise.reject(new DOMException("", "QuotaExceededError")) : real.apply(this, data);
    };
    try {
      expect(await rejection(layDown(folder, A, a, minute(1), {}))).toMatchObject({ code: "full" });
    } finally {
      FileSystemWritableFileStream.prototype.write = real;
    }
    // Without its list, nothing of it counts yet.
    expect((await otherBenches(folder, B, {})).benches).toEqual([]);
    expect(await layDown(folder, A, a, minute(2), {})).toEqual({ breaks: 2, originals: 0 });
    expect((await otherBenches(folder, B, {})).benches[0]!.hashes.size).toBe(2);
  });

  test("what somebody else put there is not read, and said", async () => {
    const b = await open();
    const strange = await (
      await folder.getDirectoryHandle("benches", { create: true })
    ).getDirectoryHandle("strange", { create: true });
    const stream = await (await strange.getFileHandle("bench.json", { create: true })).createWritable();
    await stream.write('{"format":"endpair-meeting-point","version":9,"breaks":[{"path":"../../x"}]}');
    await stream.close();
    const { unread, laid } = await exchange(b, B, minute(1));
    expect(unread).toEqual([expect.stringContaining("strange")]);
    expect(laid.breaks).toBe(0);
  });

  test("a new photograph of a shared break comes with its next exchange", async () => {
    const [a, b] = [await open(), await open()];
    await storeBreakWithPhotograph(a, "x", 1);
    await exchange(a, A, minute(1));
    await exchange(b, B, minute(2));
    const original = await newOriginal(jpegBytes(3000, 7), "second.jpg");
    await edited(
      b,
      "x",
      { kind: "add-photograph", side: "takeUp", index: 0, photograph: photograph("q", original) },
      "CD",
      minute(7),
      [original],
    );
    await exchange(b, B, minute(8));
    expect((await exchange(a, A, minute(9))).taken.map(({ fate, originals }) => [fate, originals])).toEqual([
      ["merged", 1],
    ]);
    expect(await a.lackingCopies()).toContain(original.hash);
  });
});
