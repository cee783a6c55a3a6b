import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, test } from "vitest";
import { parseObservationSheets } from "../../../model/break/observation-sheet.ts";
import { answer } from "../../../model/classifier/break-model.ts";
import { readModelFile } from "../../../model/classifier/model-file.ts";
import { numbersOfBreak } from "../../../model/classifier/of-break.ts";
import { CAUTIOUS, pool } from "../../../model/classifier/pool.ts";
import { COLUMN_NAMES } from "../../../model/classifier/vector.ts";
import { BREAK_TYPE_IDS } from "../../../model/evidence/break-type-ids.ts";
import { suggest } from "../../../model/evidence/suggest.ts";
import { observe } from "../../../model/measure/observe.ts";
import { breakWithUnopenedPictures } from "../../../model/measure/paper-record.ts";
import { askedAfter, readBreak } from "../../../scripts/invariance/ask-again.ts";
import { STILL, type Motion } from "../../../scripts/invariance/moved-break.ts";

const ROOT = new URL("../../..", import.meta.url).pathname;
const model = readModelFile(
  Uint8Array.from(readFileSync(join(ROOT, "model/classifier/shipped/endpair.onnx"))),
  COLUMN_NAMES,
);

test("the shipped model knows all types and says what it was trained on", () => {
  expect([...model.classes].sort()).toEqual([...BREAK_TYPE_IDS].sort());
  expect(model.card.trainedOn).toMatch(/rendered/);
  expect(model.card.limits.join(" ")).toMatch(/[Nn]ot validated on photographs of real breaks/);
});

describe("textbook cases with the model beside the rules", () => {
  const cases = JSON.parse(readFileSync(join(ROOT, "tests/model/evidence/textbook-cases.json"), "utf8")) as {
    id: string;
    acceptable_types: string[];
  }[];
  test.each(cases)("$id: both together make nothing wrong that the rules had right", (entry) => {
    const [sheet] = parseObservationSheets(entry);
    const record = breakWithUnopenedPictures(sheet!, { id: "case", newId: newIds(), at: "", by: "" });
    const rules = suggest(observe(record));
    const pooled = pool(rules, answer(model, numbersOfBreak(record, [])), CAUTIOUS);
    expect(pooled.verdict).toBe(rules.verdict);
    const lead = rules.ranking[0];
    if (lead !== undefined && lead.support > 0 && entry.acceptable_types.includes(lead.type))
      expect(entry.acceptable_types).toContain(pooled.ranking[0]!.type);
  });
});

/** Everything at once: turned, mirrored, smaller, darker, warmer, ends swapped. */
const ANEW: Motion = {
  name: "taken anew",
  turnDeg: 37,
  mirrored: true,
  scale: 0.8,
  light: [0.72, 0.7, 0.68],
  swapEnds: true,
};

describe("the same break photographed anew", () => {
  const folders = readdirSync(join(ROOT, "samples"), { withFileTypes: true }).filter((e) => e.isDirectory());
  test.each(folders.map((e) => e.name))(
    "%s: same likeliest type, probability within 0.02",
    async (name) => {
      const read = await readBreak(join(ROOT, "samples", name), 720);
      const before = (await askedAfter({ ...STILL, name: "as it was" }, read, model)).ranking[0]!;
      const { ranking } = await askedAfter(ANEW, read, model);
      expect(ranking[0]!.type).toBe(before.type);
      expect(Math.abs(ranking[0]!.probability - before.probability)).toBeLessThanOrEqual(0.02);
    },
    60_000,
  );
});

function newIds(): () => string {
  let count = 0;
  return () => `mark ${(count += 1)}`;
}
