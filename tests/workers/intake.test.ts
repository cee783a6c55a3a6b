import { afterAll, describe, expect, test } from "vitest";
import { commands } from "vitest/browser";
import { PictureError } from "../../model/picture/picture-error.ts";
import {
  filesFromDataTransfer,
  filesFromInput,
  filesFromPaste,
  type IncomingFile,
} from "../../web/intake/dropped-files.ts";
import { createIntake, type IntakeOptions, type IntakeResult } from "../../web/intake/intake-service.ts";
import type { Progress } from "../../web/storage/contract.ts";
import { createPictureClient } from "../../web/workers/client.ts";
import { bytesOf } from "./blob-of.ts";

const client = createPictureClient();
afterAll(() => {
  client.close();
});

async function file(shape: string, name: string): Promise<IncomingFile> {
  return { file: new File([bytesOf(await commands.madePicture(shape))], name), relativePath: `drop/${name}` };
}
const textFile = (name: string): IncomingFile => ({ file: new File(["1;2;3"], name), relativePath: name });

const nothingKnown: IntakeOptions["store"] = { known: () => Promise.resolve(new Set<string>()) };
const intake = (options: Partial<IntakeOptions> = {}) =>
  createIntake({ store: nothingKnown, pictures: client, ...options });

async function all(results: AsyncIterable<IntakeResult>): Promise<IntakeResult[]> {
  const list: IntakeResult[] = [];
  for await (const result of results) list.push(result);
  return list;
}
const told = (result: IntakeResult) =>
  `${result.file.name}: ${result.status === "refused" ? result.error.code : result.status}`;

describe("taking files in", () => {
  test("a bad file is named with its reason and the rest go on, in order", async () => {
    const files = [
      await file("jpeg-timed", "a.jpg"),
      textFile("notes.csv"),
      await file("tiff-lzw", "b.tif"),
      await file("png-half", "c.png"),
      await file("webp-o6", "d.webp"),
    ];
    const progress: Progress[] = [];
    const results = await all(intake().take(files, { onProgress: (p) => progress.push(p) }));
    expect(results.map(told)).toEqual([
      "a.jpg: ready",
      "notes.csv: not-a-picture",
      "b.tif: ready",
      "c.png: truncated",
      "d.webp: ready",
    ]);
    expect(progress[0]).toEqual({ done: 0, total: 5, what: "a.jpg" });
    expect(progress.at(-1)).toEqual({ done: 5, total: 5, what: "d.webp" });
    expect(progress.map(({ done }) => done)).toEqual([...progress.map(({ done }) => done)].sort((x, y) => x - y));
  });

  test("a ready photograph brings all that storing needs, with the file itself unaltered", async () => {
    const incoming = await file("tiff-o6", "b.tif");
    const [result] = await all(intake().take([incoming]));
    if (result?.status !== "ready") throw new Error("not ready");
    expect(result.relativePath).toBe("drop/b.tif");
    expect(result.photograph).toMatchObject({
      fileName: "b.tif",
      mediaType: "image/tiff",
      widthPx: 60,
      heightPx: 40,
      orientation: 6,
      byteLength: incoming.file.size,
    });
    expect(result.original.original).toBe(incoming.file);
    expect(result.original).toMatchObject({ hash: result.photograph.hash, fileName: "b.tif", mediaType: "image/tiff" });
    expect(result.original.thumbnail?.type).toBe("image/jpeg");
    expect(result.original.working?.type).toBe("image/png");
  });

  test("the same bytes under another name in one drop are recognised, the first in order counts", async () => {
    const large = await file("jpeg-large", "large.jpg");
    const files = [large, await file("jpeg", "x.jpg"), { ...large, file: new File([large.file], "copy.jpg") }];
    const results = await all(intake({ atOnce: 3 }).take(files));
    expect(results.map(told)).toEqual(["large.jpg: ready", "x.jpg: ready", "copy.jpg: again"]);
    const [first, , again] = results;
    expect(again?.status === "again" && again.where).toBe("this-drop");
    expect(again?.status === "again" && first?.status === "ready" && again.hash === first.photograph.hash).toBe(true);
  });

  test("what the store knows comes again, and is not decoded a second time", async () => {
    const incoming = await file("jpeg", "x.jpg");
    const { hash } = await client.inspect(incoming.file);
    let copied = 0;
    const pictures = {
      inspect: (blob: Blob, signal?: AbortSignal) => client.inspect(blob, signal),
      copies: (blob: Blob) => {
        copied++;
        return client.copies(blob);
      },
    };
    const known = (hashes: readonly string[]) => Promise.resolve(new Set(hashes.filter((h) => h === hash)));
    const [result] = await all(intake({ store: { known }, pictures }).take([incoming]));
    expect(result).toMatchObject({ status: "again", hash, where: "stored", photograph: { widthPx: 60 } });
    expect(copied).toBe(0);
  });

  test("the same bad file twice is refused twice, and never called known", async () => {
    const bad = await file("png-half", "bad.png");
    const results = await all(intake().take([bad, { ...bad, file: new File([bad.file], "bad again.png") }]));
    expect(results.map(told)).toEqual(["bad.png: truncated", "bad again.png: truncated"]);
  });

  test("never more files at work than allowed", async () => {
    let now = 0;
    let most = 0;
    const pictures = {
      inspect: async (blob: Blob, signal?: AbortSignal) => {
        most = Math.max(most, ++now);
        try {
          return await client.inspect(blob, signal);
        } finally {
          now--;
        }
      },
      copies: (blob: Blob, signal?: AbortSignal) => client.copies(blob, signal),
    };
    const files = await Promise.all(["jpeg", "png", "bmp", "webp-lossy", "tiff-plain"].map((s) => file(s, s)));
    expect((await all(intake({ pictures }).take(files))).map(({ status }) => status)).toEqual(Array(5).fill("ready"));
    expect(most).toBe(2);
  });

  test("cancelling ends the list early and leaves the worker free", async () => {
    const files = await Promise.all(["jpeg", "png", "bmp", "tiff-plain"].map((s) => file(s, s)));
    const stop = new AbortController();
    const done: string[] = [];
    for await (const result of intake().take(files, { signal: stop.signal })) {
      done.push(result.file.name);
      stop.abort();
    }
    expect(done).toEqual(["jpeg"]);
    expect(await all(intake().take(files, { signal: AbortSignal.abort() }))).toEqual([]);
    expect((await all(intake().take(files))).length).toBe(4);
  });

  test("leaving the loop cancels what is at work", async () => {
    const files = await Promise.all(["jpeg", "png", "bmp"].map((s) => file(s, s)));
    const signals: AbortSignal[] = [];
    const pictures = {
      inspect: (blob: Blob, signal?: AbortSignal) => {
        if (signal) signals.push(signal);
        return client.inspect(blob, signal);
      },
      copies: (blob: Blob, signal?: AbortSignal) => client.copies(blob, signal),
    };
    for await (const result of intake({ pictures }).take(files)) {
      expect(result.status).toBe("ready");
      break;
    }
    expect(signals.every(({ aborted }) => aborted)).toBe(true);
  });

  test("a store that cannot answer is no fault of the file: the error goes up", async () => {
    const store = { known: () => Promise.reject(new Error("the store is gone")) };
    const files = [await file("jpeg", "a"), await file("png", "b")];
    await expect(all(intake({ store }).take(files))).rejects.toThrow("the store is gone");
  });
});

describe("files from a drop, a folder and the clipboard", () => {
  /** A folder as browsers hand it out: entries in portions of two, then an empty one. */
  function folder(fullPath: string, children: readonly FileSystemEntry[]): FileSystemEntry {
    return {
      fullPath,
      name: fullPath.split("/").at(-1) ?? "",
      isDirectory: true,
      isFile: false,
      createReader: () => {
        let at = 0;
        return {
          readEntries: (done: (entries: FileSystemEntry[]) => void) => {
            done(children.slice(at, at + 2));
            at += 2;
          },
        };
      },
    } as unknown as FileSystemEntry;
  }
  function leaf(fullPath: string, readable = true): FileSystemEntry {
    const name = fullPath.split("/").at(-1) ?? "";
    return {
      fullPath,
      name,
      isDirectory: false,
      isFile: true,
      file: (done: (file: File) => void, failed: (error: Error) => void) => {
        if (readable) done(new File(["x"], name));
        else failed(new Error("no"));
      },
    } as unknown as FileSystemEntry;
  }
  const dropOf = (...entries: readonly (FileSystemEntry | null)[]) =>
    ({
      items: entries.map((entry) => ({ kind: "file", webkitGetAsEntry: () => entry })),
      files: [new File(["x"], "plain.jpg")],
    }) as unknown as DataTransfer;

  test("folders are walked, sorted by path, without the files of the operating system", async () => {
    const drop = dropOf(
      folder("/D-003", [
        leaf("/D-003/c.jpg"),
        leaf("/D-003/.DS_Store"),
        leaf("/D-003/a.jpg"),
        folder("/D-003/take-up", [leaf("/D-003/take-up/b.jpg"), leaf("/D-003/take-up/Thumbs.db")]),
      ]),
      leaf("/0.jpg"),
    );
    const { files, leftOut } = await filesFromDataTransfer(drop);
    expect(files.map(({ relativePath }) => relativePath)).toEqual([
      "0.jpg",
      "D-003/a.jpg",
      "D-003/c.jpg",
      "D-003/take-up/b.jpg",
    ]);
    expect(leftOut).toEqual([]);
  });

  test("what cannot be read or lies too deep is named", async () => {
    let deep = folder("/1/2/3/4/5/6/7/8/9", [leaf("/1/2/3/4/5/6/7/8/9/x.jpg")]);
    for (let depth = 8; depth >= 1; depth--) {
      deep = folder(`/${Array.from({ length: depth }, (_, i) => String(i + 1)).join("/")}`, [deep]);
    }
    const { files, leftOut } = await filesFromDataTransfer(dropOf(deep, leaf("/secret.jpg", false)));
    expect(files).toEqual([]);
    expect(leftOut.map(({ relativePath, error }) => [relativePath, error.code])).toEqual([
      ["1/2/3/4/5/6/7/8/9", "too-large"],
      ["secret.jpg", "decoder-failed"],
    ]);
    expect(leftOut.every(({ error }) => error instanceof PictureError)).toBe(true);
  });

  test("a drop without entries falls back to its plain files, and none at all to nothing", async () => {
    expect((await filesFromDataTransfer(dropOf(null))).files.map(({ file: f }) => f.name)).toEqual(["plain.jpg"]);
    expect(await filesFromDataTransfer(null)).toEqual({ files: [], leftOut: [] });
  });

  test("real drop data made by a page are read", async () => {
    const data = new DataTransfer();
    data.items.add(new File(["x"], "one.jpg"));
    expect((await filesFromDataTransfer(data)).files.map(({ relativePath }) => relativePath)).toEqual(["one.jpg"]);
    expect(filesFromPaste(data).files.map(({ relativePath }) => relativePath)).toEqual(["one.jpg"]);
    expect(filesFromPaste(null).files).toEqual([]);
  });

  test("a folder input keeps the path of each file", () => {
    const one = new File(["x"], "a.jpg");
    Object.defineProperty(one, "webkitRelativePath", { value: "week 45/a.jpg" });
    const { files } = filesFromInput([one, new File(["x"], "desktop.ini")]);
    expect(files.map(({ relativePath }) => relativePath)).toEqual(["week 45/a.jpg"]);
  });

  test("more than ten thousand files are taken in two goes", () => {
    const many = Array.from({ length: 10_002 }, (_, i) => new File([], `${String(i)}.jpg`));
    const { files, leftOut } = filesFromInput(many);
    expect(files).toHaveLength(10_000);
    expect(leftOut.map(({ relativePath }) => relativePath)).toEqual(["10000.jpg", "10001.jpg"]);
  });
});
