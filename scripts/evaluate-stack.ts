import { reading, standardUncertainty } from "../model/measure/uncertain.ts";
import { greyOf } from "../model/picture/pixels/grey.ts";
import { fitCone } from "../model/picture/stack/cone.ts";
import { focusMap, HAS_HEIGHT } from "../model/picture/stack/focus-map.ts";
import { CELL_PX } from "../model/picture/stack/focus-volume.ts";
import type { HeightMap } from "../model/picture/stack/height-map.ts";
import { heightMap } from "../model/picture/stack/height-map.ts";
import { holeDepth, stepHeight } from "../model/picture/stack/level.ts";
import { readSeries } from "../model/picture/stack/series.ts";
import { burstCone } from "./render/face/burst-cone.ts";
import { blindHole, steppedFace, tiltedFace } from "./render/face/gauge-shapes.ts";
import type { FocusSeriesLook, FocusSeriesSetup, RenderedSeries } from "./render/focus-series.ts";
import { renderFocusSeries } from "./render/focus-series.ts";

/** A rendered series with a known number in it. */
interface Trial {
  readonly name: string;
  readonly look: FocusSeriesLook;
  readonly setup: FocusSeriesSetup;
  readonly read: "cone" | "hole" | "step" | "heights only";
  /** Degrees for cones, µm else. */
  readonly truth: number;
}

const SETUP: FocusSeriesSetup = {
  scale: 0.25,
  frames: 24,
  stepUm: 40,
  firstUm: 850,
  blurPerUm: 0.035,
  noise: 1.15,
  wanderPx: 0.4,
  breathing: 0.0006,
  flicker: 0.01,
};
const WIRE_MM = 1.8;

const coneTrial = (seed: number, flankDeg: number, metal: FocusSeriesLook["metal"], noise: number): Trial => ({
  name: `cone ${flankDeg}°, ${metal}, seed ${seed}`,
  look: {
    seed,
    metal,
    wireMm: WIRE_MM,
    face: burstCone({ seed: seed + 900, base: 0.84, flankDeg, points: 1, grain: 0.055 }),
  },
  setup: { ...SETUP, noise, firstUm: Math.round(780 / Math.tan((flankDeg * Math.PI) / 180)) + 90, frames: 26 },
  read: "cone",
  truth: flankDeg,
});

/** Seeds of this list were not looked at while the thresholds were chosen; those were 71 to 74. */
const TRIALS: readonly Trial[] = [
  coneTrial(201, 45, "copper", 1.15),
  coneTrial(202, 45, "steel", 2.3),
  coneTrial(203, 52, "aluminium", 1.15),
  coneTrial(204, 60, "copper", 1.15),
  {
    name: "hole 450 µm, aluminium",
    look: { seed: 205, metal: "aluminium", wireMm: WIRE_MM, face: blindHole(0.45, 0.5, 131) },
    setup: { ...SETUP, frames: 20, firstUm: 160 },
    read: "hole",
    truth: 450,
  },
  {
    name: "step 270 µm, copper",
    look: { seed: 206, metal: "copper", wireMm: WIRE_MM, face: steppedFace(0.3, 151) },
    setup: { ...SETUP, frames: 16, firstUm: 400 },
    read: "step",
    truth: 270,
  },
  {
    name: "plane tilted 12°, steel",
    look: { seed: 207, metal: "steel", wireMm: WIRE_MM, face: tiltedFace(12, 141) },
    setup: { ...SETUP, frames: 16, firstUm: 300 },
    read: "heights only",
    truth: Number.NaN,
  },
];

/** Share of cells on the wire that have a height, and share of those whose truth lies within two standard uncertainties. */
function coverage(map: HeightMap, series: RenderedSeries, setup: FocusSeriesSetup, width: number) {
  const height = series.truthUm.length / width;
  let [on, known, within] = [0, 0, 0];
  const errors: number[] = [];
  for (let j = 1; j < map.rows - 1; j++)
    for (let i = 1; i < map.columns - 1; i++) {
      let sum = 0;
      let count = 0;
      const side = 3 * CELL_PX;
      for (let y = (j - 1) * CELL_PX; y < Math.min(height, (j - 1) * CELL_PX + side); y++)
        for (let x = (i - 1) * CELL_PX; x < Math.min(width, (i - 1) * CELL_PX + side); x++) {
          const t = series.truthUm[y * width + x]!;
          // The side of the wire behind the rim falls away too steeply for one height per cell.
          if (t > -1200) {
            sum += t;
            count++;
          }
        }
      if (count < side * side) continue;
      on++;
      const c = j * map.columns + i;
      if (map.state[c] !== HAS_HEIGHT) continue;
      known++;
      const error = map.um[c]! + setup.firstUm - sum / count;
      errors.push(Math.abs(error));
      if (Math.abs(error) <= 2 * map.u[c]!) within++;
    }
  errors.sort((a, b) => a - b);
  return { known: known / on, within: within / known, medianUm: errors[errors.length >> 1] ?? 0 };
}

async function tryOne({ name, look, setup, read, truth }: Trial): Promise<boolean> {
  const series = renderFocusSeries(look, setup);
  const { width, height } = series.frames[0]!;
  const grey = (k: number) => {
    const { rgb } = series.frames[k]!;
    const rgba = new Uint8Array(4 * width * height).fill(255);
    for (let i = 0; i < width * height; i++) for (let c = 0; c < 3; c++) rgba[4 * i + c] = rgb[3 * i + c]!;
    return greyOf({ widthPx: width, heightPx: height, rgba });
  };
  const begun = performance.now();
  const read1 = await readSeries(series.frames.length, grey);
  const map = heightMap(focusMap(read1.volume), { value: setup.stepUm, u: 0.01 * setup.stepUm }, 1);
  const ms = performance.now() - begun;
  const { known, within, medianUm } = coverage(map, series, setup, width);
  const scale = reading("scale", series.pxPerMm, 0.005 * series.pxPerMm);
  const r = (series.pxPerMm * look.wireMm) / 2;
  const [x, y] = series.centre;
  const breathing = Math.max(...read1.placements.map((p) => Math.abs(p.scale - 1)));
  const area = (dx: number, share: number) => ({ kind: "circle", x: x + dx * r, y, radius: share * r }) as const;
  const found =
    read === "cone"
      ? fitCone(map, "p", area(0, 0.72), scale, breathing).flankDeg
      : read === "hole"
        ? holeDepth(map, "p", area(0, 0.45)).depth
        : read === "step"
          ? stepHeight(map, "p", area(-0.4, 0.2), area(0.4, 0.2))
          : null;
  const unit = read === "cone" ? "°" : " µm";
  const off = found === null ? 0 : found.value - truth;
  const limit = read === "cone" ? 3 : found === null ? 0 : 2 * standardUncertainty(found);
  const good = within >= 0.9 && Math.abs(off) <= limit;
  const words =
    found === null
      ? ""
      : `${found.value.toFixed(1)}${unit} ± ${(2 * standardUncertainty(found)).toFixed(1)} (k = 2), true ${truth}${unit}; `;
  console.log(
    `${good ? "ok   " : "FAIL "}${name}: ${words}heights on ${(100 * known).toFixed(0)} % of the wire, ` +
      `median error ${medianUm.toFixed(1)} µm (step ${setup.stepUm}), within 2 u ${(100 * within).toFixed(1)} %; ${ms.toFixed(0)} ms`,
  );
  return good;
}

let failed = 0;
for (const trial of TRIALS) if (!(await tryOne(trial))) failed++;
console.log(failed === 0 ? "All within their limits." : `${failed} of ${TRIALS.length} outside their limits.`);
process.exitCode = failed === 0 ? 0 : 1;
