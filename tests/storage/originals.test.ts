import { expect, it } from "vitest";
import { PLAIN_VIEW } from "../../model/picture/view-settings.ts";
import { bytesOf, jpegBytes, newOriginal, open, storeBreakWithPhotograph } from "./workbench.ts";
import { saved } from "./forge.ts";

it("a blank frame and the frames of a stack travel with the break, also when only undo still needs them", async () => {
  const first = await open();
  const work = await storeBreakWithPhotograph(first, "b1", 21);
  const blank = await newOriginal(jpegBytes(3_000, 22), "blank.jpg");
  const frames = await Promise.all([23, 24].map((seed) => newOriginal(jpegBytes(2_000, seed), `frame ${seed}.jpg`)));
  const seeing = { ...PLAIN_VIEW, flatField: { hash: blank.hash, fileName: blank.fileName } };
  const stack = { frames: frames.map(({ hash, fileName }) => ({ hash, fileName })), stepUm: null };
  work
    .edit({ kind: "set-photograph", photographId: "b1-p", patch: { seeing } })
    .edit({ kind: "set-photograph", photographId: "b1-p", patch: { stack } })
    .edit({ kind: "set-photograph", photographId: "b1-p", patch: { stack: null } });
  await first.commit(work.commit([blank, ...frames]));

  const second = await open();
  const report = await second.importBench(await saved(first), "B. Importer", "2026-03-03T09:00:00Z");
  expect(report).toMatchObject({ added: ["B-b1"], originals: 4 });
  expect((await second.load("b1"))?.record.ends.machine.photographs[0]?.seeing).toEqual(seeing);
  for (const { hash, original } of [blank, ...frames])
    expect(await bytesOf(await second.original(hash))).toEqual(await bytesOf(original));
});
