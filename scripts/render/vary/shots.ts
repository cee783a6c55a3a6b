import type { BodySpec } from "../body.ts";
import { soundFrom } from "../body.ts";
import type { Shadow, Shot } from "../break-spec.ts";
import type { Side } from "../end-surface.ts";
import type { LightSetup } from "../light.ts";
import { shot } from "../demo/shots.ts";
import type { ShotView } from "../view.ts";
import type { Draw } from "./draw.ts";
import type { Ground } from "./grounds.ts";
import { GROUNDS } from "./grounds.ts";
import type { LightFamily } from "./light-families.ts";
import { LIGHT_FAMILIES } from "./light-families.ts";

/** The bench of one break: how it is lit and what lies under the wire. */
export interface Bench {
  readonly lights: LightFamily;
  readonly ground: Ground;
}

/** Height of an end-on picture against its width. */
const END_ON_SHAPE = 0.75;

/** The strongest lamp throws the shadow to the other side. */
function shadowOf(light: LightSetup, d: Draw): Shadow {
  const [first, ...rest] = light.lamps;
  const main = rest.reduce((a, b) => (a && a.power >= b.power ? a : b), first);
  const length = d.between(15, 105);
  const a = ((main?.azimuthDeg ?? 90) * Math.PI) / 180;
  return { x: -Math.cos(a) * length, y: Math.sin(a) * length, soft: d.between(18, 70), strength: d.between(0.15, 0.7) };
}

/** End-on and side views of both ends, now and then a second side view, each laid down and lit anew. */
export function variedShots(d: Draw, number: string, bench: Bench, body: BodySpec, ahead: number): readonly Shot[] {
  const fill = d.between(0.36, 0.9);
  const sideFill = d.between(0.14, 0.46);
  const smaller = d.chance(0.2) ? d.between(0.72, 0.97) : 1;
  const target = d.size(0.11, 0.42);
  const camera = {
    softnessPx: d.chance(0.2) ? d.between(1.2, 2.4) : d.between(0.5, 1.1),
    vignette: d.between(0.04, 0.36),
    noise: d.between(0.6, 2.3),
    red: d.between(0.96, 1.06),
    blue: d.between(0.93, 1.05),
  };
  const views: (readonly [Side, ShotView])[] = [
    ["machine", "end_on"],
    ["machine", "side_0"],
    ["takeUp", "end_on"],
    ["takeUp", "side_0"],
  ];
  if (d.chance(0.25)) views.push([d.pick(["machine", "takeUp"]), "side_90"]);
  return views.map(([side, view]): Shot => {
    const light = LIGHT_FAMILIES[bench.lights](d);
    const background = GROUNDS[bench.ground](d);
    const common = { light, background, camera, meter: target * d.between(0.85, 1.18) };
    if (view === "end_on") {
      const zoom = side === "takeUp" ? smaller : 1;
      const slackX = Math.max(0, 0.48 - (fill * END_ON_SHAPE * 1.14) / 2);
      const slackY = Math.max(0, 0.48 - (fill * 1.14) / 2);
      const place = {
        turnDeg: d.between(0, 360),
        along: d.between(-1, 1) * Math.min(0.12, slackX),
        aside: d.between(-1, 1) * Math.min(0.1, slackY),
        ahead,
        behind: 0,
        zoom,
      };
      return shot(number, side, view, { ...common, fill, placing: place });
    }
    const place = {
      turnDeg: d.chance(0.25) ? d.between(-3, 3) + d.pick([0, 90, 180, 270]) : d.between(0, 360),
      along: d.between(0.15, 0.6),
      aside: d.between(-0.35, 0.35),
      ahead: ahead + 0.15,
      behind: Math.max(soundFrom(body), ahead + 0.2) + 1.1,
      zoom: 1,
    };
    return shot(number, side, view, { ...common, fill: sideFill, placing: place, shadow: shadowOf(light, d) });
  });
}
