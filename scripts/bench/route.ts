import { constantElongation } from "../../model/route/constant-elongation.ts";
import { tryPass } from "../../model/route/drag.ts";
import { standingOf } from "../../model/route/danger.ts";
import { computePass, type PassInput } from "../../model/route/pass.ts";
import type { Row } from "./model.ts";

/** A series of fifteen dies, 8 to 1.8 mm, with bands of friction and of wear. */
function fifteen(): readonly PassInput[] {
  const exits = constantElongation(8, 1.8, 15);
  return exits.map((outMm, i) => ({
    semiAngleDeg: { value: 8, low: 7, high: 9 },
    inMm: exits[i - 1] ?? 8,
    outMm,
    friction: { kind: "mu", value: 0.05, low: 0.03, high: 0.07 },
    bearingMm: outMm / 3,
    backTension: 0,
  }));
}

/** Everything that is computed anew while one pass of a series is dragged over the chart. */
export function benchRoute(): Row[] {
  const series = fifteen();
  const act = (i: number): void => {
    const tried = tryPass(series, i % 15, { semiAngleDeg: 5 + (i % 7), reduction: 0.12 + (i % 11) / 100 });
    for (const pass of tried) {
      computePass(pass, 2 / 3);
      standingOf(pass, 2 / 3);
    }
  };
  for (let i = 0; i < 60; i++) act(i);
  const times = Array.from({ length: 300 }, (_, i) => {
    const start = performance.now();
    act(i);
    return performance.now() - start;
  }).sort((a, b) => a - b);
  const p95 = times[285] ?? 0;
  return [
    {
      what: "15-die series while dragging, p95",
      figure: `${p95.toFixed(2)} ms`,
      aim: "≤ 16 ms",
      met: p95 <= 16,
      beside: `median ${(times[150] ?? 0).toFixed(2)} ms; every pass with its bands and where it stands`,
    },
  ];
}
