import { describe, expect, test } from "vitest";
import { BREAK_TYPE_IDS, type Verdict } from "../../../model/evidence/break-type-ids.ts";
import { BREAK_TYPE_PAGES, breakTypePage } from "../../../model/evidence/break-types/index.ts";
import { type BreakTypePage, type Statement, WHERES } from "../../../model/evidence/break-types/page.ts";
import { cautionOf } from "../../../model/evidence/cautions.ts";
import { isSourceKey } from "../../../model/evidence/sources.ts";

const types = BREAK_TYPE_IDS.map((id) => breakTypePage(id));
const pages = Object.values(BREAK_TYPE_PAGES);

/** Every sentence of a page that may carry a source. */
const statements = (page: BreakTypePage): readonly Statement[] => [
  page.definition,
  ...page.ends,
  ...page.sideProfile,
  ...page.fractureAngle,
  ...page.confirms,
  ...page.excludes,
  ...page.confusions,
  ...page.causes,
  ...page.notCauses,
  ...page.corrections,
  ...page.tests,
  ...Object.values(page.metals).flat(),
  ...page.background,
];

describe("the page of a break type", () => {
  test("there is one for each type and one for undecided, each under its own name", () => {
    expect(Object.keys(BREAK_TYPE_PAGES).sort()).toEqual([...BREAK_TYPE_IDS, "undetermined"].sort());
    for (const [id, page] of Object.entries(BREAK_TYPE_PAGES)) expect(page.id).toBe(id);
    expect(new Set(pages.map((p) => p.name)).size).toBe(18);
  });

  test.each(types.map((p) => [p.id, p] as const))("%s tells all that is needed at the bench", (_id, page) => {
    for (const part of [
      "tradeNames",
      "sideProfile",
      "fractureAngle",
      "confirms",
      "excludes",
      "confusions",
      "causes",
      "corrections",
      "tests",
      "cautions",
      "sources",
    ] as const)
      expect([part, page[part].length > 0]).toEqual([part, true]);
    for (const end of page.ends) expect([end.text.length > 5, end.short.length > 3]).toEqual([true, true]);
    expect(page.metals.copper.length + page.metals.steel.length).toBeGreaterThan(0);
    expect(page.typical).not.toBeNull();
  });

  test("every source of a sentence is in the table and among the sources of its page", () => {
    for (const page of pages)
      for (const statement of statements(page))
        for (const key of statement.sources) {
          expect([key, isSourceKey(key)]).toEqual([key, true]);
          expect([page.id, key, page.sources.includes(key)]).toEqual([page.id, key, true]);
        }
  });

  test("every sentence is a sentence, and none is told twice on a page", () => {
    for (const page of pages) {
      const texts = [...page.confirms, ...page.excludes, ...page.causes, ...page.corrections, ...page.tests].map(
        (s) => s.text,
      );
      expect(new Set(texts).size).toBe(texts.length);
      for (const { text } of statements(page)) expect([text, /^\S.*[.!?]$/s.test(text)]).toEqual([text, true]);
    }
  });

  test("a type is confused with other types, and the look that settles it is told", () => {
    for (const page of types)
      for (const confusion of page.confusions) {
        expect(confusion.with).not.toBe(page.id);
        expect((confusion.with === null) !== (confusion.lookAlike === null)).toBe(true);
        expect(confusion.settledBy.length).toBeGreaterThan(5);
      }
  });

  test("causes and corrections say where they lie", () => {
    for (const page of types)
      for (const placed of [...page.causes, ...page.corrections]) expect(WHERES).toContain(placed.where);
  });

  test("high oxygen is never a cause of a central burst, and the page says so", () => {
    const page = breakTypePage("central_burst");
    expect(page.causes.filter((cause) => /oxygen/i.test(cause.text))).toEqual([]);
    expect(page.corrections.filter((step) => /oxygen/i.test(step.text))).toEqual([]);
    expect(page.notCauses.map((s) => s.text).join()).toMatch(/oxygen content .* does not cause/);
  });

  test("friction martensite is a matter of steel alone, steam cracking of copper alone", () => {
    const martensite = breakTypePage("surface_martensite").metals;
    expect([martensite.copper[0]?.text, martensite.aluminium[0]?.text]).toEqual(["Does not exist.", "Does not exist."]);
    expect(breakTypePage("hydrogen_damage").metals.aluminium[0]?.text).toMatch(/does not exist/);
  });

  test("the ratio of reduction of area parts the ductile break from the burst", () => {
    const ratio = (id: Verdict) => breakTypePage(id).typical!.raRatio!;
    expect(ratio("tensile_overload").from).toBeGreaterThan(ratio("central_burst").to);
    for (const page of types)
      if (page.typical?.raRatio) expect(page.typical.raRatio.from <= page.typical.raRatio.to).toBe(true);
  });

  test("the two ends of a pair look alike or not as the type demands", () => {
    const shapes = (id: Verdict) => breakTypePage(id).ends.map((end) => end.shape);
    expect(shapes("central_burst")).toEqual(["solid-cone", "conical-hollow"]);
    expect(shapes("casting_void")).toEqual(["deep-hole", "deep-hole"]);
    expect(shapes("inclusion")).toEqual(["particle", "socket"]);
  });

  test("cautions of a page exist, and lock-out and sharp ends stand on every one", () => {
    for (const page of pages) {
      for (const id of page.cautions) expect(cautionOf(id).id).toBe(id);
      expect(page.cautions).toEqual(expect.arrayContaining(["lock-out", "sharp-ends", "no-verdict-on-fitness"]));
    }
  });

  test("undecided names next actions and no cause", () => {
    const page = breakTypePage("undetermined");
    expect(page.tests.length).toBeGreaterThan(3);
    expect([page.causes, page.corrections, page.typical]).toEqual([[], [], null]);
  });
});
