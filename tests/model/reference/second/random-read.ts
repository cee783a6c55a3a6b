import type { Confirmation, EndSide, Mark, Photograph, WireBreak } from "../../../../model/break/wire-break.ts";
import { BREAK_TYPE_IDS, type Verdict } from "../../../../model/evidence/break-type-ids.ts";
import { FEATURE_IDS } from "../../../../model/evidence/features.ts";
import { MARK_STATES } from "../../../../model/evidence/observations.ts";
import { suggest } from "../../../../model/evidence/suggest.ts";
import { observe } from "../../../../model/measure/observe.ts";
import { newBreak } from "../../../../model/break/new-break.ts";
import { AT, mark, photograph, secondReading } from "../../break/random-breaks.ts";
import fc from "../../../properties.ts";

export const READERS = ["Ana Reader", "ana  reader", "B. Kern", "Chi", "D"] as const;
const reader = fc.constantFrom<string>(...READERS);
const type = fc.constantFrom<Verdict>(...BREAK_TYPE_IDS, "undetermined");

/** A word that stands nowhere else, so that it can be looked for. */
export const SECRET = "zq-secret";

/** A confirmation with what a bench writes into it. */
export const confirmed = (id: string, type: Verdict, by: string, over: object = {}): Confirmation => ({
  kind: "confirmed",
  id,
  type,
  means: ["both-ends-microscope"],
  reason: `${SECRET}-reason`,
  by,
  at: AT,
  suggestion: suggest(observe(newBreak("b", "B", AT))),
  revision: 3,
  ...over,
});

const aMark = (side: EndSide, photographs: readonly Photograph[]): fc.Arbitrary<Mark> =>
  fc
    .record({
      feature: fc.constantFrom(...FEATURE_IDS),
      state: fc.constantFrom(...MARK_STATES),
      by: reader,
      n: fc.nat({ max: 1e6 }),
      at: fc.nat({ max: 3 }),
    })
    .map(({ feature, state, by, n, at }) => {
      const photographId = photographs[at % Math.max(1, photographs.length)]?.id ?? null;
      return mark(`${SECRET}-mark-${side}-${n}`, {
        feature,
        state,
        by,
        note: `${SECRET}-note`,
        photographId: state === "present" ? photographId : null,
        geometry: photographId === null || state !== "present" ? null : { type: "point", points: [[n % 997, 17]] },
        given: { colour: `${SECRET}-given` },
      });
    });

const photographs = (side: EndSide): fc.Arbitrary<readonly Photograph[]> =>
  fc.array(fc.nat({ max: 2 }), { maxLength: 3 }).map((kinds) =>
    kinds.map((kind, i) =>
      photograph(`${side}-p${i}`, {
        fileName: `${SECRET}-file.jpg`,
        scale:
          kind === 0
            ? null
            : {
                method: "wire-diameter",
                diameterMm: { value: 2, u: 0.01 },
                diameterPx: { value: 700, u: 2 },
                markId: `${SECRET}-mark-scale`,
              },
        turnedDown: [
          {
            feature: "end_hole",
            geometry: { type: "point", points: [[1, 2]] },
            confidence: 0.8,
            finder: `${SECRET}-finder`,
          },
        ],
        ...(kind === 2
          ? {
              seeing: {
                exposureEv: 1,
                contrast: 0,
                localContrast: 0,
                flatField: { hash: "1".repeat(64), fileName: `${SECRET}-blank.jpg` },
                neutral: null,
              },
              stack: { frames: [{ hash: "2".repeat(64), fileName: `${SECRET}-frame.jpg` }], stepUm: null },
            }
          : {}),
      }),
    ),
  );

const end = (side: EndSide) =>
  photographs(side).chain((list) =>
    fc.uniqueArray(aMark(side, list), { maxLength: 4, selector: ({ id }) => id }).map((marks) => ({
      recovery: "recovered" as const,
      photographs: list,
      marks,
      note: `${SECRET}-end`,
    })),
  );

/** A break that has been marked, confirmed, re-opened and read by some people. */
export const readBreak: fc.Arbitrary<WireBreak> = fc
  .record({
    machine: end("machine"),
    takeUp: end("takeUp"),
    lines: fc.array(fc.record({ by: reader, type, reopened: fc.boolean() }), { maxLength: 3 }),
    readings: fc.array(fc.record({ by: reader, type }), { maxLength: 3 }),
    named: fc.constantFrom(...BREAK_TYPE_IDS),
  })
  .map(({ machine, takeUp, lines, readings, named }): WireBreak => {
    const start = newBreak("b-1", "B-1", AT);
    return {
      ...start,
      revision: 7,
      updatedAt: "2026-03-05T09:00:00Z",
      ends: { machine, takeUp },
      pairing: { mate: "yes", d0AgreePct: 0.4 },
      context: {
        ...start.context,
        metal: "copper",
        notes: `${SECRET}-notes`,
        process: `looks like ${named.replaceAll("_", " ")} again`,
        repeatsInCast: true,
      },
      confirmations: lines.map(({ by, type, reopened }, i) =>
        reopened
          ? { kind: "reopened", id: `${SECRET}-c${i}`, reason: `${SECRET}-why`, by, at: AT }
          : confirmed(`${SECRET}-c${i}`, type, by),
      ),
      ...(readings.length === 0
        ? {}
        : {
            readings: readings.map(({ by, type }, i) =>
              secondReading(`${SECRET}-r${i}`, { by, type, beside: null, note: `${SECRET}-reading` }),
            ),
          }),
    };
  });
