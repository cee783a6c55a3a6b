import { describe, expect, test } from "vitest";
import { suggest } from "../../../model/evidence/suggest.ts";
import { ASKED, CITED_ONLY } from "./asked.ts";
import { TEXTBOOK, textbookCase } from "./textbook.ts";

describe.each(TEXTBOOK.map((c) => [c.id, c] as const))("textbook case %s", (_id, c) => {
  const s = suggest(c.observations);

  test("is given an acceptable verdict, never a forbidden one", () => {
    expect(c.acceptable).toContain(s.verdict);
    expect(c.mustNot).not.toContain(s.verdict);
  });

  test("asks for everything it must ask", () => {
    const offered = s.requests.map((r) => r.id);
    for (const intent of c.mustAsk) {
      const answers = ASKED[c.id]?.[intent] ?? [];
      expect(answers, `${intent} has no mapping`).not.toHaveLength(0);
      expect(
        answers.some((id) => offered.includes(id)),
        `${intent} is not asked; offered: ${offered.join(", ")}`,
      ).toBe(true);
    }
  });

  test("fires the rules it lists, save those only cited", () => {
    const fired = new Set<string>([...s.gates, ...s.for, ...s.against, ...s.notes].map((f) => f.rule));
    const lacking = c.rules.filter((rule) => !fired.has(rule));
    expect(lacking).toEqual(Object.keys(CITED_ONLY[c.id] ?? {}));
  });
});

test("all 39 cases are here, and an undetermined one always asks for something", () => {
  expect(TEXTBOOK).toHaveLength(39);
  for (const c of TEXTBOOK) {
    const s = suggest(c.observations);
    if (s.verdict === "undetermined") expect(s.requests.length, c.id).toBeGreaterThan(0);
  }
});

test.each([
  ["C06", "even", "Δ 5.9 (8°, 9 %)"],
  ["C08", "even", "several passes before the break"],
  ["C10", "even", "weak core"],
] as const)("%s states where the burst was born", (id, reversals, words) => {
  const { origin } = suggest(textbookCase(id).observations);
  expect(origin?.stated).toBe(true);
  expect(origin?.reversals).toBe(reversals);
  expect(origin?.says).toContain(words);
});

test("a burst without roles and draw direction keeps its type, and no place of origin is stated", () => {
  const s = suggest(textbookCase("A48").observations);
  expect(s.verdict).toBe("central_burst");
  expect(s.origin?.stated).toBe(false);
});
