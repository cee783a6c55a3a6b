import { afterEach, describe, expect, test } from "vitest";
import {
  createPictureClient,
  type PictureClient,
  type PictureClientOptions,
  type WorkerLike,
} from "../../web/workers/client.ts";
import type { ReplyMessage, RequestMessage } from "../../web/workers/protocol.ts";

let started: Worker[] = [];
const stubborn = () => {
  const worker = new Worker(new URL("./stubborn.worker.ts", import.meta.url), { type: "module" });
  started.push(worker);
  return worker;
};
let clients: PictureClient[] = [];
function clientOf(options: PictureClientOptions = {}): PictureClient {
  const client = createPictureClient({ threads: 1, makeWorker: stubborn, limitMs: () => 700, ...options });
  clients.push(client);
  return client;
}
afterEach(() => {
  for (const client of clients) client.close();
  clients = [];
  started = [];
});

const sized = (bytes: number) => new Blob([new Uint8Array(bytes)]);
const text = async (blob: Promise<Blob>) => (await blob).text();

describe("every request settles", () => {
  test("with its result", async () => {
    expect(await text(clientOf().small(sized(10)))).toBe("size 10");
  });

  test("a worker that never returns is ended and those that wait go on in a fresh one", async () => {
    const client = clientOf();
    const stuck = client.small(sized(1));
    const others = [client.small(sized(11)), client.small(sized(12))].map(text);
    await expect(stuck).rejects.toMatchObject({
      code: "timed-out",
      message: "Decoding took longer than 1 s and was stopped.",
    });
    expect(await Promise.all(others)).toEqual(["size 11", "size 12"]);
    expect(started).toHaveLength(2);
  });

  test("a crash is an error in words and the next request is served", async () => {
    const client = clientOf();
    const crashed = client.small(sized(2));
    const next = text(client.small(sized(13)));
    await expect(crashed).rejects.toMatchObject({ name: "PictureError", code: "decoder-failed" });
    expect(await next).toBe("size 13");
  });

  test("an answer to no question is dropped", async () => {
    expect(await text(clientOf().small(sized(3)))).toBe("size 3");
  });

  test("closing cancels what waits and what comes later", async () => {
    const client = clientOf();
    const waiting = [client.small(sized(1)), client.small(sized(14))];
    client.close();
    for (const one of [...waiting, client.small(sized(15))]) {
      await expect(one).rejects.toMatchObject({ code: "cancelled" });
    }
  });
});

/** A worker in hand: answers when told to. */
class Held implements WorkerLike {
  static all: Held[] = [];
  onmessage: WorkerLike["onmessage"] = null;
  onerror: WorkerLike["onerror"] = null;
  onmessageerror: WorkerLike["onmessageerror"] = null;
  readonly asked: RequestMessage[] = [];
  ended = false;
  constructor() {
    Held.all.push(this);
  }
  postMessage(message: RequestMessage): void {
    this.asked.push(message);
  }
  terminate(): void {
    this.ended = true;
  }
  reply(reply: ReplyMessage): void {
    this.onmessage?.call(this as unknown as Worker, new MessageEvent("message", { data: reply }));
  }
}
const held = (options: PictureClientOptions = {}) => {
  Held.all = [];
  return clientOf({ makeWorker: () => new Held(), ...options });
};
const bitmap = () => createImageBitmap(new ImageData(4, 4));

describe("cancelling", () => {
  test("a request that waits is never sent", async () => {
    const client = held();
    const first = client.small(sized(10));
    const stop = new AbortController();
    const second = client.small(sized(11), stop.signal);
    stop.abort();
    await expect(second).rejects.toMatchObject({ code: "cancelled" });
    Held.all[0]?.reply({ id: 1, ok: true, output: new Blob(["done"]) });
    expect(await text(first)).toBe("done");
    expect(Held.all[0]?.asked).toHaveLength(1);
  });

  test("a request at work settles at once; its late answer is dropped and its pixels are freed", async () => {
    const client = held();
    const stop = new AbortController();
    const picture = client.bitmap(sized(10), { signal: stop.signal });
    stop.abort();
    await expect(picture).rejects.toMatchObject({ code: "cancelled" });
    const [late, level] = [await bitmap(), await bitmap()];
    Held.all[0]?.reply({ id: 1, ok: true, output: { bitmap: late, levels: [level], fullWidthPx: 4, fullHeightPx: 4 } });
    // A closed bitmap has no size any more.
    expect([late.width, level.width]).toEqual([0, 0]);
    const next = client.small(sized(11));
    Held.all[0]?.reply({ id: 2, ok: true, output: new Blob(["next"]) });
    expect(await text(next)).toBe("next");
  });

  test("a signal that has fired already refuses without asking", async () => {
    await expect(held().inspect(sized(10), AbortSignal.abort())).rejects.toMatchObject({ code: "cancelled" });
    expect(Held.all).toHaveLength(0);
  });
});

describe("the queue", () => {
  test("pixels for the bench go before thumbnails that wait", async () => {
    const client = held();
    const settled = [client.small(sized(10)), client.small(sized(11)), client.bitmap(sized(12), { maxPx: 100 })];
    Held.all[0]?.reply({ id: 1, ok: true, output: new Blob() });
    expect(Held.all[0]?.asked.map(({ name }) => name)).toEqual(["small", "bitmap"]);
    expect(Held.all[0]?.asked[1]?.input).toMatchObject({ maxPx: 100 });
    client.close();
    expect((await Promise.allSettled(settled)).map(({ status }) => status)).toEqual([
      "fulfilled",
      "rejected",
      "rejected",
    ]);
    expect(Held.all[0]?.ended).toBe(true);
  });

  test("no more threads than asked for, one file each", async () => {
    const client = held({ threads: 2 });
    const settled = [10, 11, 12].map((size) => client.small(sized(size)));
    expect(Held.all.map(({ asked }) => asked.length)).toEqual([1, 1]);
    client.close();
    expect((await Promise.allSettled(settled)).every(({ status }) => status === "rejected")).toBe(true);
  });

  test("a refusal keeps its code, sentence and next step", async () => {
    const client = held();
    const refused = client.inspect(sized(10));
    Held.all[0]?.reply({ id: 1, ok: false, error: { code: "truncated", message: "Cut off.", next: "Copy it again." } });
    await expect(refused).rejects.toMatchObject({ code: "truncated", message: "Cut off.", next: "Copy it again." });
  });
});
