import { describe, expect, test } from "vitest";
import { citation, isSourceKey, SOURCE_KEYS, type Source, SOURCES, sourceOf } from "../../../model/evidence/sources.ts";

describe("the table of sources", () => {
  test("says of every source how far it was read, and names it", () => {
    for (const key of SOURCE_KEYS) {
      const source: Source = sourceOf(key);
      expect(key).toMatch(/^[a-z0-9]+(-[a-z0-9]+)*$/);
      expect(source.title.length).toBeGreaterThan(5);
      expect(["text seen", "abstract seen", "excerpt seen", "from memory"]).toContain(source.standing);
      if (source.year !== undefined) expect(source.year >= 1900 && source.year <= 2026).toBe(true);
    }
  });

  test("an unknown key is refused, those of every object included", () => {
    for (const key of ["nobody-1999", "", "constructor", "__proto__", "toString"]) {
      expect(isSourceKey(key)).toBe(false);
      expect(() => sourceOf(key)).toThrow(RangeError);
    }
  });

  test("no source is an encyclopedia or a search page", () => {
    expect(JSON.stringify(SOURCES)).not.toMatch(/wikipedia|encyclop|google|search\?/i);
  });

  test("a citation tells the year once and the standing", () => {
    expect(citation("avitzur68")).toBe(
      "Avitzur, Analysis of central bursting defects in extrusion and wire drawing, Journal of Engineering for Industry (1968) (from memory)",
    );
    expect(citation("raskin")).toContain("1997 (excerpt seen; only as cited by Yoshida (2002))");
  });
});
