import { expect, test } from "vitest";
import { applyEdit } from "../../model/break/edits.ts";
import { newBreak } from "../../model/break/new-break.ts";

test("swapping the ends twice gives the same ends", () => {
  const b = newBreak("a", "B-1", "2026-01-01T00:00:00Z");
  const one = applyEdit(b, { kind: "set-end", side: "machine", patch: { note: "x" } }, "2026-01-01T00:00:01Z").next;
  const two = applyEdit(one, { kind: "swap-ends" }, "2026-01-01T00:00:02Z").next;
  expect(two.ends.takeUp.note).toBe("x");
});
