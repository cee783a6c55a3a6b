import { readFileSync } from "node:fs";
import { parseObservationSheets, sheetToObservations } from "../../model/break/observation-sheet.ts";
import { suggest, weigh } from "../../model/evidence/suggest.ts";
import { filterRows, NO_FILTER } from "../../web/log/filter.ts";
import { logRow } from "../../web/log/row.ts";
import { manySummaries } from "../../tests/screens/log-breaks.ts";

export interface Row {
  readonly what: string;
  readonly figure: string;
  readonly aim: string;
  readonly met: boolean;
  /** The floor of the same run, or what the figure covers. */
  readonly beside: string;
}

const root = new URL("../..", import.meta.url).pathname;

function percentile(times: readonly number[], share: number): number {
  const sorted = [...times].sort((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))] ?? 0;
}

function timed(runs: number, act: (i: number) => void): number[] {
  const times: number[] = [];
  for (let i = 0; i < runs; i++) {
    const start = performance.now();
    act(i);
    times.push(performance.now() - start);
  }
  return times;
}

export function benchWeigh(): Row[] {
  const cases = JSON.parse(readFileSync(`${root}tests/model/evidence/textbook-cases.json`, "utf8")) as unknown;
  const observations = parseObservationSheets(cases).map(sheetToObservations);
  const pick = (i: number) => {
    const one = observations[i % observations.length];
    if (!one) throw new Error("No textbook case.");
    return one;
  };
  timed(200, (i) => suggest(pick(i)));
  const weighing = percentile(
    timed(1000, (i) => weigh(pick(i))),
    0.95,
  );
  const all = percentile(
    timed(400, (i) => suggest(pick(i))),
    0.95,
  );
  const floor = percentile(
    timed(1000, (i) => structuredClone(pick(i))),
    0.95,
  );
  return [
    {
      what: "re-weighing a full break, p95",
      figure: `${weighing.toFixed(2)} ms`,
      aim: "≤ 5 ms",
      met: weighing <= 5,
      beside: `copying the same observations takes ${floor.toFixed(2)} ms`,
    },
    {
      what: "weighing with the next actions ranked, p95",
      figure: `${all.toFixed(2)} ms`,
      aim: "≤ 20 ms",
      met: all <= 20,
      beside: `${observations.length} textbook cases in turn`,
    },
  ];
}

export function benchFilter(): Row[] {
  const list = manySummaries(10_000).map(logRow);
  const queries = ["copper", "metal:steel state:undecided", "cast:K-12 central", "zzz", "machine:block 2.6"];
  const filter = (query: string) => filterRows(list, { ...NO_FILTER, query }).length;
  const times = timed(60, (i) => filter(queries[i % queries.length] ?? ""));
  const floor = percentile(
    timed(60, () => list.filter((s) => s.text.includes("copper")).length),
    0.95,
  );
  const p95 = percentile(times, 0.95);
  return [
    {
      what: "filtering 10,000 breaks, p95",
      figure: `${p95.toFixed(1)} ms`,
      aim: "≤ 50 ms",
      met: p95 <= 50,
      beside: `one bare text scan of the same list takes ${floor.toFixed(1)} ms`,
    },
  ];
}
