import { expect, test } from "vitest";
import type { Photograph, ProposedMark } from "../../model/break/wire-break.ts";
import { PictureError } from "../../model/picture/picture-error.ts";
import type { Proposals } from "../../model/picture/propose/proposals.ts";
import { Desk } from "../../web/bench/desk.svelte.ts";
import { openBreak } from "../../web/bench/open-break.ts";
import { Pictures } from "../../web/bench/pictures.ts";
import { createPictureClient } from "../../web/workers/client.ts";
import type { ProposeClient } from "../../web/workers/propose-client.ts";
import { createSeeingClient } from "../../web/workers/seeing-client.ts";
import { openApp } from "./log-app.ts";
import { aBreak, storeBreaks } from "./log-breaks.ts";

const ellipse = { type: "ellipse", cx: 50, cy: 40, rx: 30, ry: 29, angle_deg: 0 } as const;
const outline: ProposedMark = {
  feature: "wire_outline",
  geometry: ellipse,
  confidence: 0.97,
  finder: "made 1",
};
const hole: ProposedMark = {
  feature: "end_hole",
  geometry: { type: "ellipse", cx: 50, cy: 40, rx: 9, ry: 9, angle_deg: 0 },
  confidence: 0.9,
  finder: "made 1",
};
const found: Proposals = { marks: [outline, hole], axisDeg: null, says: null };

const photograph: Photograph = {
  id: "p1",
  hash: "a".repeat(64),
  fileName: "B-1_M_end-on.png",
  mediaType: "image/png",
  byteLength: 3,
  widthPx: 100,
  heightPx: 80,
  orientation: 1,
  capturedAt: null,
  view: "end_on",
  turnDeg: 0,
  scale: null,
  axisDeg: null,
  rendered: false,
};

/** A break with one end-on photograph of its machine end, and a finder that answers as told. */
async function openDesk(answer: () => Promise<Proposals> = () => Promise.resolve(found)) {
  const { app, store } = await openApp();
  const { record, summary } = aBreak("B-1");
  await storeBreaks(store, [
    {
      record: { ...record, ends: { ...record.ends, machine: { ...record.ends.machine, photographs: [photograph] } } },
      summary,
    },
  ]);
  await store.commit({
    entries: [],
    records: [],
    originals: [
      {
        hash: photograph.hash,
        original: new Blob(["abc"]),
        fileName: photograph.fileName,
        mediaType: photograph.mediaType,
        thumbnail: null,
        working: null,
      },
    ],
  });
  await app.attach(store);
  const client: ProposeClient = { propose: answer, close: () => undefined };
  const open = async () => {
    const bench = (await openBreak(app, record.id))!;
    const seeing = { client: createSeeingClient(), pictures: createPictureClient() };
    return new Desk(app, bench, new Pictures(store, () => Promise.resolve({ levels: [] })), client, seeing);
  };
  const desk = await open();
  const waiting = () => desk.proposing.waiting("machine", desk.photograph("machine")).map((w) => w.mark);
  return { app, desk, waiting, open, look: () => desk.proposing.look("machine", desk.photograph("machine")!) };
}

test("proposals count for nothing until they are taken", async () => {
  const { desk, waiting, look } = await openDesk();
  const before = desk.bench.observations;
  await look();
  expect(waiting()).toEqual([outline, hole]);
  expect(desk.record.ends.machine.marks).toEqual([]);
  expect(desk.bench.observations).toEqual(before);
});

test("taking one makes a mark that keeps what was proposed; undo opens it again", async () => {
  const { desk, waiting, look } = await openDesk();
  await look();
  desk.proposing.take("machine", [desk.proposing.current("machine")!]);
  expect(desk.record.ends.machine.marks).toMatchObject([
    { feature: "wire_outline", state: "present", geometry: outline.geometry, proposed: outline },
  ]);
  expect(waiting()).toEqual([hole]);
  await desk.undo();
  expect(waiting()).toEqual([outline, hole]);
});

test("taking all is one step for undo", async () => {
  const { desk, waiting, look } = await openDesk();
  await look();
  desk.proposing.take("machine", desk.proposing.waiting("machine", desk.photograph("machine")));
  expect(desk.record.ends.machine.marks.length).toBe(2);
  await desk.undo();
  expect(desk.record.ends.machine.marks).toEqual([]);
  expect(waiting().length).toBe(2);
});

test("a corrected shape is kept beside the proposal", async () => {
  const { desk, look } = await openDesk();
  await look();
  desk.proposing.redraw(desk.proposing.current("machine")!);
  const mine = { ...ellipse, rx: 33 };
  desk.drawn("machine", mine);
  expect(desk.record.ends.machine.marks).toMatchObject([{ geometry: mine, proposed: outline }]);
  desk.reshaped(desk.record.ends.machine.marks[0]!.id, { ...mine, rx: 34 });
  expect(desk.record.ends.machine.marks).toMatchObject([{ geometry: { rx: 34 }, proposed: { geometry: { rx: 30 } } }]);
});

test("a proposal turned down is remembered on the photograph and is not made again", async () => {
  const { desk, waiting, look, open } = await openDesk();
  await look();
  const down = desk.proposing.waiting("machine", desk.photograph("machine"))[1]!;
  desk.proposing.turnDown(down);
  await desk.bench.settled();
  expect(waiting()).toEqual([outline]);
  const again = await open();
  const p = again.photograph("machine")!;
  expect(p.turnedDown).toEqual([hole]);
  await again.proposing.look("machine", p);
  expect(again.proposing.waiting("machine", p).map((w) => w.mark.feature)).toEqual(["wire_outline"]);
});

test("what the reader has marked or called absent is not proposed", async () => {
  const { desk, waiting, look } = await openDesk();
  desk.pick("end_hole", "absent");
  await look();
  expect(waiting()).toEqual([outline]);
});

test("a failure is said in words and can be tried again", async () => {
  let broken = true;
  const { desk, waiting, look } = await openDesk(() =>
    broken ? Promise.reject(new PictureError("timed-out", "It took too long.")) : Promise.resolve(found),
  );
  await look();
  const p = desk.photograph("machine")!;
  expect(desk.proposing.lookingAt(p)).toMatchObject({ state: "failed", message: "It took too long." });
  broken = false;
  await desk.proposing.look("machine", p, true);
  expect(waiting().length).toBe(2);
});
