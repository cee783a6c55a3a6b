import { describe, expect, it } from "vitest";
import type { Confirmation } from "../../model/break/wire-break.ts";
import { summarise } from "../../web/storage/summary.ts";
import { AT, mark, jpegBytes, newOriginal, photograph, working } from "./workbench.ts";

const base = working("b1", "M-7").edit({
  kind: "set-context",
  patch: { metal: "Copper", grade: "ETP", nominalDiameterMm: 2, cast: "C-12", machine: "Line 4", pickled: true },
}).record;

describe("the summary of a break", () => {
  it("takes the measured diameter before the nominal one, and null for neither", () => {
    expect(summarise(base, "undetermined").diameterMm).toBe(2);
    const measured = { ...base, context: { ...base.context, measuredDiameterMm: 1.98 } };
    expect(summarise(measured, "undetermined").diameterMm).toBe(1.98);
    expect(summarise(working("b2").record, "undetermined").diameterMm).toBeNull();
  });

  it("shows the end-on photograph of an end, else the first, else none", async () => {
    const side = { ...photograph("p1", await newOriginal(jpegBytes(50, 1))), view: "side_0" as const };
    const endOn = photograph("p2", await newOriginal(jpegBytes(50, 2)));
    const both = { ...base.ends.machine, photographs: [side, endOn] };
    const one = { ...base.ends.takeUp, photographs: [side], recovery: "recovered" as const };
    const summary = summarise({ ...base, ends: { machine: both, takeUp: one } }, "undetermined");
    expect(summary.machineEnd).toEqual({ recovery: "awaited", hash: endOn.hash, photographs: 2 });
    expect(summary.takeUpEnd).toEqual({ recovery: "recovered", hash: side.hash, photographs: 1 });
    expect(summarise(base, "undetermined").machineEnd.hash).toBeNull();
  });

  it("is open again after a confirmation was taken back", () => {
    const reopened = { kind: "reopened", id: "c2", reason: "second look", by: "C. Reader", at: AT } as const;
    const confirmed: Confirmation = {
      kind: "confirmed",
      id: "c1",
      type: "torsion",
      means: ["sem"],
      reason: "spiral lips",
      by: "D. Reader",
      at: AT,
      suggestion: {
        verdict: "undetermined",
        ranking: [],
        says: "",
        gates: [],
        for: [],
        against: [],
        notes: [],
        missing: [],
        requests: [],
        origin: null,
        rulesVersion: "1",
      },
      revision: 1,
    };
    const closed = summarise({ ...base, confirmations: [confirmed] }, "undetermined");
    expect([closed.confirmed, closed.confirmedBy]).toEqual(["torsion", "D. Reader"]);
    const open = summarise({ ...base, confirmations: [confirmed, reopened] }, "undetermined");
    expect([open.confirmed, open.confirmedBy]).toEqual([null, null]);
    expect(open.text).toContain("spiral lips");
  });

  it("can be searched by any field, in lower case, flags by their name and vocabulary by its words", () => {
    const marked = { ...base.ends.machine, note: "Burr at 3 o'clock", marks: [mark("m1")] };
    const { text } = summarise({ ...base, ends: { ...base.ends, machine: marked } }, "central_burst");
    for (const word of [
      "m-7",
      "copper",
      "etp",
      "c-12",
      "line 4",
      "pickled",
      "burr at 3 o'clock",
      "end hole",
      "central burst",
    ])
      expect(text).toContain(word);
    expect(text).toBe(text.toLowerCase());
  });
});
