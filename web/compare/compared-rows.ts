import type { BreakContext, WireBreak } from "../../model/break/wire-break.ts";
import { formatLength } from "../../model/measure/format.ts";
import type { LengthUnit } from "../../model/measure/units.ts";
import type { Why } from "../../model/reference/nearest-why.ts";
import { capital, wireWords } from "../bench/words.ts";
import { readableTime } from "../shell/clock.ts";
import { nameWords, valueWords } from "./reason-words.ts";

/** One line of two breaks side by side. */
export interface ComparedRow {
  readonly name: string;
  readonly here: string;
  readonly there: string;
  /** Both are known and are not the same. */
  readonly differs: boolean;
}

/** As many differences and likenesses as can be taken in at a glance. */
const MOST = 10;

/** Facts of both wires, and what was marked and measured on both, differences first. */
export function comparedRows(
  here: WireBreak,
  there: WireBreak,
  why: Why,
  unit: LengthUnit,
): readonly { readonly title: string; readonly rows: readonly ComparedRow[] }[] {
  const facts = FACTS.flatMap(({ name, of, tells }): ComparedRow[] => {
    const [a, b] = [of(here.context, unit), of(there.context, unit)];
    if (a === "" && b === "") return [];
    const differs = tells && a !== "" && b !== "" && a !== b;
    return [{ name, here: a === "" ? "not said" : a, there: b === "" ? "not said" : b, differs }];
  });
  const isFact = ({ group }: { readonly group: string }) => group === "facts";
  const differing = why.differing
    .filter((r) => !isFact(r))
    .map((r) => ({
      name: capital(nameWords(r.name)),
      here: valueWords(r, r.here, unit),
      there: valueWords(r, r.there, unit),
      differs: true,
    }));
  const shared = why.shared
    .filter((r) => !isFact(r))
    .map((r) => ({
      name: capital(nameWords(r.name)),
      here: valueWords(r, r.here, unit),
      there: valueWords(r, r.there, unit),
      differs: false,
    }));
  return [
    { title: "Wire and process", rows: facts },
    { title: "Marked and measured", rows: [...differing, ...shared].slice(0, MOST) },
  ];
}

interface Fact {
  readonly name: string;
  /** A difference is worth a sign; free text and dates always differ. */
  readonly tells: boolean;
  readonly of: (c: BreakContext, unit: LengthUnit) => string;
}

const FACTS: readonly Fact[] = [
  { name: "Wire", tells: true, of: (c) => wireWords(c.metal, c.grade, c.temper) },
  {
    name: "Diameter",
    tells: true,
    of: (c, unit) => {
      const mm = c.measuredDiameterMm ?? c.nominalDiameterMm;
      return mm === null ? "" : formatLength(mm, null, unit, { show: "value-only" });
    },
  },
  { name: "Reference RA", tells: true, of: (c) => (c.refRaPct === null ? "" : `${c.refRaPct} %`) },
  { name: "Machine, place", tells: true, of: (c) => [c.machine, c.position].filter(Boolean).join(", ") },
  { name: "Cast", tells: true, of: (c) => c.cast ?? "" },
  { name: "Coil, spool", tells: false, of: (c) => [c.coil, c.spool].filter(Boolean).join(", ") },
  { name: "Process", tells: false, of: (c) => c.process ?? "" },
  { name: "Broke", tells: false, of: (c) => readableTime(c.brokeAt) },
];
