import { describe, expect, test, vi } from "vitest";
import { page, userEvent } from "vitest/browser";
import { applyEdit } from "../../model/break/edits.ts";
import type { WireBreak } from "../../model/break/wire-break.ts";
import { parseWireBreak } from "../../model/break/record-schema.ts";
import type { Contribution } from "../../model/classifier/break-model.ts";
import { ClassifierError } from "../../model/classifier/classifier-error.ts";
import { COLUMN_NAMES } from "../../model/classifier/vector.ts";
import { Earlier } from "../../web/model/earlier.svelte.ts";
import { ModelRoom, setRoom } from "../../web/model/model-room.svelte.ts";
import { percent } from "../../web/model/percent.ts";
import { reasonsOf, strangeWords } from "../../web/model/reasons.ts";
import type { App } from "../../web/shell/app.svelte.ts";
import type { ModelReply } from "../../web/workers/model-client.ts";
import { fileLabBreaks, labBreaks, madeModel } from "./lab-breaks.ts";
import { openApp, showApp } from "./log-app.ts";
import { oneThread } from "./one-thread.ts";
import { AT } from "./log-breaks.ts";

const TYPES = ["central_burst", "torsion", "fatigue"] as const;
const model = madeModel(labBreaks(TYPES, 14, 1));

export function roomWith(app: App, shipped: () => Promise<Uint8Array<ArrayBuffer>>): ModelRoom {
  const room = new ModelRoom({
    store: app.bench,
    now: app.surroundings.now,
    reader: () => app.reader,
    shipped,
    service: oneThread,
  });
  setRoom(app, room);
  return room;
}

async function showBreak(which: (typeof TYPES)[number], marked = true, shipped = () => Promise.resolve(model)) {
  const { app, store } = await openApp();
  const [one] = labBreaks([which], 1, 77, true);
  const bare = {
    machine: { ...one!.record.ends.machine, marks: [] },
    takeUp: { ...one!.record.ends.takeUp, marks: [] },
  };
  const record = marked ? one!.record : { ...one!.record, ends: bare };
  await fileLabBreaks(store, [{ record, type: which }], { open: true });
  await app.attach(store);
  const room = roomWith(app, shipped);
  app.place = { screen: "bench", breakId: record.id };
  await showApp(app, store);
  return { app, room, record };
}
const panel = () =>
  page
    .getByRole("region", { name: "Evidence" })
    .getByRole("group")
    .filter({ hasText: /Earlier breaks/ });

describe("on the bench", () => {
  test("earlier breaks lean to a type, folded; unfolded they say why and what they learnt from", async () => {
    await showBreak("torsion");
    await expect.element(page.getByText(/Earlier breaks lean to: torsion \(.*%\)/)).toBeVisible();
    await expect.element(page.getByText("= agrees with the evidence")).toBeVisible();
    await expect.element(page.getByText(/What mattered most to torsion/)).not.toBeVisible();
    await userEvent.keyboard("q");
    await expect.element(page.getByText(/What mattered most to torsion/)).toBeVisible();
    await expect.element(page.getByText(/Learnt from rendered images \(42 breaks\)/)).toBeVisible();
    await expect.element(page.getByText(/not validated on photographs of real breaks/)).toBeVisible();
    await userEvent.keyboard("q");
    await expect.element(page.getByText(/What mattered most to torsion/)).not.toBeVisible();
  });

  test("what is shown is the model's own answer, and the verdict stays that of the evidence", async () => {
    const { app, room, record } = await showBreak("central_burst");
    const { keeperOf } = await import("../../web/numbers/keeper-of-app.ts");
    await room.open();
    const { answer } = await room.ask(await keeperOf(app).numbersOf(record), []);
    const first = answer.ranking[0]!;
    await expect
      .element(page.getByText(new RegExp(`Earlier breaks lean to: central burst \\(${percent(first.probability)}\\)`)))
      .toBeVisible();
  });

  test("confirming keeps beside the suggestion what earlier breaks said at that moment", async () => {
    const { app, room, record } = await showBreak("fatigue");
    await expect.element(page.getByText(/Earlier breaks lean to/)).toBeVisible();
    await userEvent.keyboard("c");
    await page.getByLabelText("Break type").selectOptions("fatigue");
    await page.getByLabelText("both ends under the microscope").click();
    await page.getByLabelText(/^Reason/).fill("arrest lines on both ends, seen twice");
    await page.getByLabelText("Confirmed by").fill("Reader 7");
    await page.getByRole("dialog").getByRole("button", { name: "Confirm", exact: true }).click();
    await expect
      .poll(async () => (await app.bench.load(record.id))?.record.confirmations.at(-1))
      .toMatchObject({ kind: "confirmed", earlier: { model: "made model", digest: room.inUse!.digest } });
    const stored = (await app.bench.load(record.id))!.record;
    expect(parseWireBreak(JSON.parse(JSON.stringify(stored)))).toEqual(stored);
  });

  test("with nothing marked nothing is said", async () => {
    await showBreak("torsion", false);
    await expect.element(page.getByText(/nothing is marked yet to compare by/)).toBeVisible();
  });

  test("without a model the bench goes on, and says what is the matter", async () => {
    await showBreak("torsion", true, () => Promise.resolve(model.slice(0, 900)));
    await expect.element(page.getByText("Earlier breaks cannot be asked")).toBeVisible();
    await userEvent.keyboard("q");
    await expect.element(page.getByText(/no ONNX model, or it is cut off/).first()).toBeVisible();
    await expect.element(page.getByRole("region", { name: "Evidence" })).toBeVisible();
    expect(panel()).toBeDefined();
  });
});

describe("asking after each change", () => {
  const [one] = labBreaks(["torsion"], 1, 5);
  const reply = (type: string): ModelReply => ({
    strange: [],
    answer: { ranking: [{ type, probability: 1 }], unlike: 0.2 },
    reasons: { [type]: [] },
  });
  const changed = (n: number) =>
    Array.from({ length: n }).reduce<WireBreak>(
      (r) => applyEdit(r, { kind: "set-number", number: "x" }, AT).next,
      one!.record,
    );

  test("one question at a time, and the latest state wins", async () => {
    const asked: number[] = [];
    let free: (() => void)[] = [];
    const room = {
      open: () => Promise.resolve({ card: { name: "m" }, digest: "d" }),
      inUse: { card: { name: "m" }, digest: "d" },
      ask: () => new Promise<ModelReply>((resolve) => free.push(() => resolve(reply("torsion")))),
    } as unknown as ModelRoom;
    const earlier = new Earlier({
      room,
      numbersOf: (record) => {
        asked.push(record.revision);
        return Promise.resolve(new Float32Array(COLUMN_NAMES.length));
      },
    });
    const base = one!.record.revision;
    earlier.follow(changed(0));
    await vi.waitFor(() => expect(free).toHaveLength(1));
    earlier.follow(changed(1));
    earlier.follow(changed(2));
    earlier.follow(changed(3));
    const settle = () => {
      const now = free;
      free = [];
      for (const go of now) go();
    };
    settle();
    await vi.waitFor(() => {
      settle();
      expect(earlier.says?.revision).toBe(base + 3);
    });
    expect([...new Set(asked)]).toEqual([base, base + 3]);
  });

  test("a failure is said and the next change asks again", async () => {
    let broken = true;
    const room = {
      open: () => Promise.resolve({ card: { name: "m" }, digest: "d" }),
      inUse: { card: { name: "m" }, digest: "d" },
      ask: () =>
        broken
          ? Promise.reject(new ClassifierError("runtime-failed", "It did not start.", "Reload."))
          : Promise.resolve(reply("torsion")),
    } as unknown as ModelRoom;
    const earlier = new Earlier({ room, numbersOf: () => Promise.resolve(new Float32Array(COLUMN_NAMES.length)) });
    earlier.follow(changed(0));
    await vi.waitFor(() => expect(earlier.wrong?.message).toBe("It did not start."));
    broken = false;
    earlier.follow(changed(1));
    await vi.waitFor(() => expect(earlier.says?.answer.ranking[0]?.type).toBe("torsion"));
    expect(earlier.wrong).toBeNull();
  });
});

describe("reasons in trade words", () => {
  const row = new Float32Array(COLUMN_NAMES.length).fill(NaN);
  const set = (column: string, value: number) => (row[COLUMN_NAMES.indexOf(column)] = value);
  set("cone_flank.any", 1);
  set("cone_flank.both", 0);
  set("cone_flank.flank_angle_deg", 44.4);
  set("shear_lip.any", 0);
  set("context.wire_mm_log", Math.log(2));
  const push = (column: string, by: number): Contribution => ({
    column,
    value: row[COLUMN_NAMES.indexOf(column)]!,
    push: by,
  });

  test("what makes a break unlike others is named by its observations; little shares are not", () => {
    const strange = (column: string, share: number) => ({ column, value: 1, share });
    const words = strangeWords(
      [
        strange("ends.seen", 0.4),
        strange("face.ring0.bright.gap", 0.15),
        strange("face.ring1.bright.gap", 0.15),
        strange("face.ring1.bright", 0.1),
        strange("neck.any", 0.15),
        strange("nick.any", 0.05),
      ],
      row,
    );
    expect(words[0]).toMatch(/^ends .*: 1$/);
    expect(words[1]).toBe(
      "look of the fracture faces: brightness and texture, which differs from one end to the other",
    );
    expect(words[2]).toMatch(/^neck/);
    expect(words).toHaveLength(3);
  });

  test("all numbers of one observation count together and are named once", () => {
    const reasons = reasonsOf(
      [
        push("cone_flank.any", 0.5),
        push("cone_flank.flank_angle_deg", 0.4),
        push("shear_lip.any", -0.6),
        push("neck.any", 0.3),
        push("context.wire_mm_log", 0.2),
        push("face.ring0.bright", 0.15),
        push("face.ring1.bright", 0.1),
        push("nick.any", 0.01),
      ],
      row,
      9,
    );
    expect(reasons.map((r) => r.says)).toEqual([
      "cone flank, flank angle to the axis 44°",
      "shear lip: looked for, absent",
      "neck: not looked for",
      "look of the fracture faces: brightness and texture: not known",
      "wire diameter 2.00 mm",
    ]);
    expect(reasons[0]!.push).toBeCloseTo(0.9, 9);
  });
});

test("a share is never shown as certain", () => {
  expect([0, 0.001, 0.724, 0.999, 1].map(percent)).toEqual(["< 1 %", "< 1 %", "72 %", "> 99 %", "> 99 %"]);
});
