import { expect, test } from "vitest";
import { FORMULAS } from "../../../model/route/formulas.ts";
import { ROUTE_SOURCES, type RouteSourceKey } from "../../../model/route/route-sources.ts";

test("every formula has its text and a source that is there", () => {
  for (const { says, source } of Object.values(FORMULAS)) {
    expect(says).toMatch(/[=α]/);
    expect(ROUTE_SOURCES[source].title.length).toBeGreaterThan(0);
  }
});

test("no formula is called by an author's name, and what was derived here names nobody", () => {
  const names = Object.values(ROUTE_SOURCES).flatMap((s) =>
    "authors" in s ? s.authors.split(/,| and /).map((n) => n.trim()) : [],
  );
  expect(names.length).toBeGreaterThan(10);
  for (const [id, { says }] of Object.entries(FORMULAS))
    for (const name of names) expect(`${id} ${says}`.toLowerCase()).not.toContain(name.toLowerCase());
  expect("authors" in ROUTE_SOURCES["this-study" satisfies RouteSourceKey]).toBe(false);
});
