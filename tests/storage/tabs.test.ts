import { describe, expect, it } from "vitest";
import type { StoreEvent } from "../../web/storage/contract.ts";
import { openDatabase, STEPS } from "../../web/storage/database.ts";
import { openBench } from "../../web/storage/open-bench.ts";
import { addMark, freshName, now, open, rejection, shut, working } from "./workbench.ts";

/** The events of a bench, and a promise for the next of a kind. */
function listen(store: { subscribe(listener: (event: StoreEvent) => void): () => void }) {
  const events: StoreEvent[] = [];
  const waiting: { kind: StoreEvent["kind"]; resolve: (event: StoreEvent) => void }[] = [];
  store.subscribe((event) => {
    events.push(event);
    for (const one of waiting.filter(({ kind }) => kind === event.kind)) one.resolve(event);
  });
  return {
    events,
    next: (kind: StoreEvent["kind"]) => new Promise<StoreEvent>((resolve) => waiting.push({ kind, resolve })),
  };
}

describe("a second tab", () => {
  it("only reads, says so, and hears what the first one changed", async () => {
    const name = freshName();
    const writer = await open(name);
    const reader = await open(name);
    expect([writer.mode, reader.mode]).toEqual(["writer", "reader"]);
    const heard = listen(reader).next("changed");
    const work = working("b1").edit(addMark("m1"));
    await writer.commit(work.commit());
    expect(await heard).toEqual({ kind: "changed", breakIds: ["b1"] });
    expect((await reader.load("b1"))?.record).toEqual(work.record);
    const refused = await rejection(reader.commit(work.edit(addMark("m2")).commit()));
    expect(refused).toMatchObject({ name: "StoreError", code: "read-only" });
    expect(await rejection(reader.setSetting("a", 1))).toMatchObject({ code: "read-only" });
    expect((await writer.load("b1"))?.log).toHaveLength(1);
  });

  it("takes over when the first one closes, and sees its last edit", async () => {
    const name = freshName();
    const writer = await open(name);
    const reader = await open(name);
    const third = await open(name);
    const promoted = listen(reader).next("mode");
    const work = working("b1").edit(addMark("m1"));
    const last = writer.commit(work.commit());
    await shut(writer);
    await last;
    expect(await promoted).toEqual({ kind: "mode", mode: "writer" });
    expect([reader.mode, third.mode]).toEqual(["writer", "reader"]);
    expect((await reader.load("b1"))?.record).toEqual(work.record);
    await reader.commit(work.edit(addMark("m2")).commit());
    expect((await third.load("b1"))?.log).toHaveLength(2);
  });

  it("that closes while waiting does not take the right to write with it", async () => {
    const name = freshName();
    const writer = await open(name);
    await shut(await open(name));
    await shut(writer);
    expect((await open(name)).mode).toBe("writer");
  });
});

describe("a tab that lost the right to write by force", () => {
  it("says so, refuses to write, and gets it back when it is free again", async () => {
    const name = freshName();
    const store = await open(name);
    const heard = listen(store);
    const lostIt = heard.next("mode");
    let free: () => void = () => undefined;
    const held = new Promise<void>((resolve) => (free = resolve));
    const stolen = navigator.locks.request(`endpair-writer:${name}`, { steal: true }, () => held);
    expect(await lostIt).toEqual({ kind: "mode", mode: "reader" });
    const commit = working("b1").edit(addMark("m1")).commit();
    expect(await rejection(store.commit(commit))).toMatchObject({ code: "read-only" });
    const back = heard.next("mode");
    free();
    await stolen;
    expect(await back).toEqual({ kind: "mode", mode: "writer" });
    expect(await store.commit(commit)).toHaveLength(1);
  });
});

describe("another version of the bench", () => {
  const raise = (name: string, version: number): Promise<IDBDatabase> =>
    new Promise((resolve, reject) => {
      const request = indexedDB.open(name, version);
      request.onsuccess = () => resolve(request.result);
      request.onerror = () => reject(request.error ?? new Error("no reason"));
    });

  it("that is newer is refused in words", async () => {
    const name = freshName();
    (await raise(name, 99)).close();
    const failure = await rejection(openBench({ now, name }));
    expect(failure).toMatchObject({ name: "StoreError", code: "newer-version" });
    expect(String((failure as { next?: unknown }).next)).toContain("Reload");
  });

  it("that wants the database makes this tab let go and tell", async () => {
    const name = freshName();
    const store = await open(name);
    const closed = listen(store).next("closed");
    const newer = await raise(name, 99);
    expect(await closed).toMatchObject({ kind: "closed", error: { code: "newer-version" } });
    newer.close();
    expect(await rejection(store.summaries())).toMatchObject({ code: "newer-version" });
    const late = rejection(store.commit(working("b1").edit(addMark("m1")).commit()));
    expect(await late).toMatchObject({ code: "newer-version" });
  });

  it("held open by a stuck tab ends in words, not in waiting", async () => {
    const name = freshName();
    await shut(await open(name));
    const stuck = await raise(name, STEPS.length); // A raw connection ignores the request to let go.
    const failure = await rejection(openDatabase(name, () => undefined, [...STEPS, () => undefined]));
    expect(failure).toMatchObject({ name: "StoreError", code: "blocked" });
    const queued = await rejection(openBench({ now, name }));
    expect(queued).toMatchObject({ name: "StoreError", code: "blocked" });
    stuck.close();
  });

  it("is reached by taking only the steps that are missing", async () => {
    const name = freshName();
    const first = await open(name);
    const work = working("b1").edit(addMark("m1"));
    await first.commit(work.commit());
    await shut(first);
    const newer = await openDatabase(name, () => undefined, [
      ...STEPS,
      (db) => {
        db.createObjectStore("profiles" as "settings");
      },
    ]);
    expect([...newer.objectStoreNames]).toContain("profiles");
    expect(await newer.get("breaks", "b1")).toEqual(work.record);
    newer.close();
  });

  it("deleted under an open tab ends in words", async () => {
    const name = freshName();
    const store = await open(name);
    const closed = listen(store).next("closed");
    indexedDB.deleteDatabase(name);
    expect(await closed).toMatchObject({ error: { code: "terminated" } });
    expect(await rejection(store.load("b1"))).toMatchObject({ code: "terminated" });
  });
});
