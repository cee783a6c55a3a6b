import { expect, test } from "vitest";
import type { Photograph } from "../../model/break/wire-break.ts";
import { PLAIN_VIEW } from "../../model/picture/view-settings.ts";
import { Desk } from "../../web/bench/desk.svelte.ts";
import { openBreak } from "../../web/bench/open-break.ts";
import { Pictures } from "../../web/bench/pictures.ts";
import { SeenPicture } from "../../web/bench/seen-picture.ts";
import { sha256Hex } from "../../web/storage/canonical.ts";
import { createPictureClient } from "../../web/workers/client.ts";
import { createSeeingClient } from "../../web/workers/seeing-client.ts";
import { openApp } from "./log-app.ts";
import { aBreak, storeBreaks } from "./log-breaks.ts";

const W = 160;
const H = 120;
type Colour = (x: number, y: number) => string;
async function png(colour: Colour): Promise<File> {
  const canvas = new OffscreenCanvas(W, H);
  const context = canvas.getContext("2d")!;
  for (let y = 0; y < H; y += 4)
    for (let x = 0; x < W; x += 4) {
      context.fillStyle = colour(x, y);
      context.fillRect(x, y, 4, 4);
    }
  return new File([await canvas.convertToBlob({ type: "image/png" })], "made.png", { type: "image/png" });
}
const warm: Colour = () => "rgb(180 160 130)";

/** A break with two photographs of warmly lit grey on its machine end and one, of another size, on the other. */
async function openDesk() {
  const { app, store } = await openApp();
  const file = await png(warm);
  const hash = await sha256Hex(new Uint8Array(await file.arrayBuffer()));
  const photograph = (id: string, widthPx = W): Photograph => ({
    id,
    hash,
    fileName: `${id}.png`,
    mediaType: "image/png",
    byteLength: file.size,
    widthPx,
    heightPx: H,
    orientation: 1,
    capturedAt: null,
    view: "end_on",
    turnDeg: 0,
    scale: null,
    axisDeg: null,
    rendered: false,
  });
  const { record, summary } = aBreak("B-1");
  const ends = {
    machine: { ...record.ends.machine, photographs: [photograph("p1"), photograph("p2")] },
    takeUp: { ...record.ends.takeUp, photographs: [photograph("p3", W + 1)] },
  };
  await storeBreaks(store, [{ record: { ...record, ends }, summary }]);
  const original = { hash, original: file, fileName: "p1.png", mediaType: "image/png", thumbnail: null, working: null };
  await store.commit({ entries: [], records: [], originals: [original] });
  await app.attach(store);
  const pictures = createPictureClient();
  const client = createSeeingClient();
  const kept = new Pictures(store, async (blob) => {
    const { bitmap, levels } = await pictures.bitmap(blob);
    return { levels: [bitmap, ...levels] };
  });
  const bench = (await openBreak(app, record.id))!;
  const propose = { propose: () => Promise.reject(new Error("not asked for")), close: () => undefined };
  const desk = new Desk(app, bench, kept, propose, { client, pictures });
  const p = (id: string) =>
    [...desk.record.ends.machine.photographs, ...desk.record.ends.takeUp.photographs].find((one) => one.id === id)!;
  const close = () => {
    kept.close();
    client.close();
    pictures.close();
  };
  return { desk, store, client, kept, p, close };
}

test("a moved slider shows at once and becomes one edit that undo takes back", async () => {
  const { desk, p, close } = await openDesk();
  const before = desk.record.revision;
  for (const exposureEv of [0.1, 0.2, 0.3]) desk.seeing.change(p("p1"), { exposureEv });
  expect(desk.seeing.of(p("p1")).exposureEv).toBe(0.3);
  expect(desk.record.revision).toBe(before);
  desk.seeing.flush();
  expect(p("p1").seeing).toEqual({ ...PLAIN_VIEW, exposureEv: 0.3 });
  expect(desk.record.revision).toBe(before + 1);
  await desk.undo();
  expect(p("p1").seeing).toBeUndefined();
  desk.seeing.change(p("p1"), { contrast: 0.5 });
  desk.seeing.reset(p("p1"));
  expect(p("p1").seeing).toBeUndefined();
  close();
});

test("a blank frame from a file is kept as an original; one that is not blank is refused and not kept", async () => {
  const { desk, store, p, close } = await openDesk();
  const wire = await png((x, y) => ((x - 80) ** 2 + (y - 60) ** 2 < 900 ? "#d0d0d0" : "#909090"));
  await desk.seeing.blankFile(p("p1"), wire);
  expect(desk.seeing.problem?.message).toBe("The blank frame is not blank: something can be seen on it.");
  expect(p("p1").seeing).toBeUndefined();
  expect(await store.original(await sha256Hex(new Uint8Array(await wire.arrayBuffer())))).toBeNull();

  const blank = await png((x) => `rgb(${200 - x / 4} ${200 - x / 4} ${200 - x / 4})`);
  await desk.seeing.blankFile(p("p1"), blank);
  expect(desk.seeing.problem).toBeNull();
  const hash = await sha256Hex(new Uint8Array(await blank.arrayBuffer()));
  expect(p("p1").seeing?.flatField).toEqual({ hash, fileName: "made.png" });
  expect((await store.original(hash))?.size).toBe(blank.size);
  close();
});

test("a grey patch and the same light for the whole break: what fits only one size is left out and said", async () => {
  const { desk, p, close } = await openDesk();
  await desk.seeing.placePatch(p("p1"), [-500, 5]);
  expect(desk.seeing.problem?.message).toBe("The grey patch does not lie on the photograph.");
  await desk.seeing.placePatch(p("p1"), [80, 60]);
  desk.seeing.set(p("p1"), { exposureEv: 0.5, flatField: { hash: p("p1").hash, fileName: "p1.png" } });
  await desk.seeing.sameForOthers(p("p1"), null);
  const [red, , blue] = p("p2").seeing!.neutral!.from!.gains;
  expect(red).toBeLessThan(1);
  expect(blue).toBeGreaterThan(1);
  expect(p("p2").seeing).toMatchObject({ exposureEv: 0.5, flatField: { fileName: "p1.png" } });
  expect(p("p3").seeing).toMatchObject({ exposureEv: 0.5, flatField: null });
  expect(desk.app.messages.at(-1)?.text).toBe("The same light on 2 more; without the flat field on 1 of another size.");
  close();
});

test("the stage gets the seen picture, the one as taken while it is compared, and the photograph again without", async () => {
  const { desk, client, kept, p, close } = await openDesk();
  const base = (await kept.hold(p("p1")))!;
  const shown: (typeof base)[] = [];
  const next = async (count: number) => {
    await expect.poll(() => shown.length, { timeout: 10_000 }).toBe(count);
    return shown.at(-1)!;
  };
  const seen = new SeenPicture(client, desk.seeing.aids, {
    show: (picture) => shown.push(picture),
    tell: () => undefined,
    fail: (error) => desk.app.report(error),
  });
  const settings = { ...PLAIN_VIEW, exposureEv: -1 };
  seen.want(base, p("p1"), settings, false);
  const made = await next(1);
  expect(made.levels[0]).not.toBe(base.levels[0]);
  expect([made.widthPx, made.levels[0]?.width]).toEqual([W, W]);
  seen.want(base, p("p1"), settings, true);
  expect(await next(2)).toBe(base);
  seen.want(base, p("p1"), settings, false);
  expect((await next(3)).levels).toBe(made.levels);
  seen.want(base, p("p1"), PLAIN_VIEW, false);
  expect(await next(4)).toBe(base);
  expect(made.levels[0]?.width).toBe(0);
  expect(base.levels[0]?.width).toBe(W);
  seen.close();
  kept.release(p("p1"));
  close();
});

test("how a photograph was lit is recorded, spread over the break as one edit, and taken out again", async () => {
  const { desk, p, close } = await openDesk();
  desk.lit([p("p1")], "ring light");
  const before = desk.record.revision;
  desk.lit(
    ["p1", "p2", "p3"].map((id) => p(id)),
    "ring light",
  );
  expect(desk.record.revision).toBe(before + 1);
  expect(["p1", "p2", "p3"].map((id) => p(id).light)).toEqual(["ring light", "ring light", "ring light"]);
  desk.lit([p("p2")], "");
  expect("light" in p("p2")).toBe(false);
  await desk.bench.settled();
  await desk.bench.undo();
  expect(p("p2").light).toBe("ring light");
  close();
});
