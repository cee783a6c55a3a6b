import { describe, expect, test } from "vitest";
import { newBreak } from "../../../../model/break/new-break.ts";
import { factsToAdd, knownFacts } from "../../../../model/reference/import/add-facts.ts";
import { readOldRecords } from "../../../../model/reference/import/csv.ts";
import {
  fitted,
  mappingFor,
  type NamedMapping,
  proposedMapping,
} from "../../../../model/reference/import/named-mapping.ts";

const AT = "2026-03-02T08:00:00Z";
const lab: NamedMapping = {
  name: "old lab book",
  separator: ";",
  columns: [
    ["Probe", "number"],
    ["Ø mm", "diameterMm"],
    ["Prüfer", null],
  ],
};

describe("mappings kept under a name", () => {
  test("the same headings in another order or case find it; other headings are guessed", () => {
    expect(mappingFor([" ø MM", "probe", "Prüfer"], [lab])).toBe(lab);
    expect(proposedMapping(["Prüfer", "Probe", "Ø mm"], [lab]).mapping).toEqual([null, "number", "diameterMm"]);
    expect(mappingFor(["Probe", "Ø mm"], [lab])).toBeNull();
    expect(proposedMapping(["Probe", "Werkstoff"], [lab])).toEqual({ from: null, mapping: ["number", "metal"] });
    expect(fitted({ ...lab, columns: [["Probe", "gone" as "number"]] }, ["Probe"])).toEqual([null]);
  });
});

describe("facts added to breaks that are here", () => {
  const [old] = readOldRecords(
    "no;metal;cast;type;notes;dia mm\nB-1;copper;K7;central burst;seen late;1,6",
    ["number", "metal", "cast", "type", "notes", "diameterMm"],
    ";",
  ).records;
  const here = (patch: object) => {
    const empty = newBreak("b", "B-1", AT);
    return { ...empty, context: { ...empty.context, ...patch } };
  };

  test("only what is not known yet is added; what differs is named and stays", () => {
    const { patch, differing } = factsToAdd(here({ metal: "steel", cast: "K7" }), old!, "book.csv");
    expect(differing).toEqual([{ field: "metal", here: "steel", there: "copper" }]);
    expect(patch).toEqual({
      nominalDiameterMm: 1.6,
      notes: "seen late\nThe old record calls it central burst.\nFrom book.csv, line 2.",
    });
  });

  test("a second time it brings nothing", () => {
    const first = here({});
    const { patch } = factsToAdd(first, old!, "book.csv");
    expect(factsToAdd({ ...first, context: { ...first.context, ...patch } }, old!, "book.csv")).toEqual({
      patch: {},
      differing: [],
    });
  });

  test("notes are added to, never replaced", () => {
    expect(factsToAdd(here({ notes: "ours" }), old!, "book.csv").patch.notes).toMatch(/^ours\nseen late\n/);
    expect(knownFacts(here({ metal: "copper" }).context)).toEqual({ metal: "copper" });
  });
});
