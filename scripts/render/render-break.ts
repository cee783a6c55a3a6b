import { castShadow, drawBackground } from "./background.ts";
import type { BackgroundSpec } from "./background.ts";
import { Body } from "./body.ts";
import type { BreakLook, Shot } from "./break-spec.ts";
import type { Pixels } from "./develop.ts";
import { develop } from "./develop.ts";
import { renderEndOn } from "./end-on.ts";
import type { EndSurface, Side } from "./end-surface.ts";
import { buildEnds } from "./end-surface.ts";
import type { Layer } from "./layer.ts";
import { placeFreely } from "./free-framing.ts";
import { burnScaleBar, burnText } from "./lettering.ts";
import { RING, SIDE, turned } from "./light-setups.ts";
import { METALS } from "./metal.ts";
import { randomStream } from "./noise.ts";
import type { Openness } from "./occlusion.ts";
import { lookAround } from "./occlusion.ts";
import { placeEnd } from "./placed-end.ts";
import { renderSection } from "./section.ts";
import { renderSide } from "./side.ts";
import type { Framing } from "./view.ts";
import { towardDeg } from "./view.ts";

export interface RenderOptions {
  /** 1 = full size (2400 px wide); smaller for tests and for training pictures. */
  readonly scale: number;
  /** Leave out the lettering and the scale bar. */
  readonly plain?: boolean;
}

export interface RenderedShot {
  readonly shot: Shot;
  readonly frame: Framing;
  readonly pixels: Pixels;
  readonly pxPerMm: number;
  /** Share of each pixel that the wire covers, 0–1, before the optics blur it. */
  readonly cover: Float32Array;
  /** Ends of the burned-in scale bar, px, when there is one. */
  readonly bar: readonly [number, number, number, number] | null;
}

/** Both ends of a break as height fields, with the light each place sees; made once for all its pictures. */
export interface BuiltBreak {
  readonly body: Body;
  readonly ends: Readonly<Record<Side, { readonly surface: EndSurface; readonly open: Openness }>>;
}

const END_ON = { width: 2400, height: 1800 };
const SIDE_ON = { width: 2400, height: 1600 };

/** The card under the wire: one on which the metal's edge stands out. */
const SIDE_CARD = { copper: 0.2, aluminium: 0.1, steel: 0.36 } as const;

const SIDE_SHADOW = { x: 14, y: 70, soft: 46, strength: 0.62 } as const;

const shotSeed = (look: BreakLook, shot: Shot): number =>
  look.seed * 31 +
  (shot.side === "machine" ? 1 : 2) +
  10 * ["end_on", "side_0", "side_90", "section_long"].indexOf(shot.view);

/** Where the wire lies in the picture of a shot; a person never puts it exactly in the middle or exactly level. */
export function frameShot(look: BreakLook, shot: Shot, scale: number): Framing {
  const next = randomStream(shotSeed(look, shot));
  const size = shot.view === "end_on" ? END_ON : SIDE_ON;
  const width = Math.round(size.width * scale);
  const height = Math.round(size.height * scale);
  const jitter = (part: number): number => (next() - 0.5) * 2 * part;
  const { placing } = shot;
  const light = shot.light ?? turned(shot.view === "end_on" ? RING : SIDE, jitter(14));
  if (shot.view === "end_on" && placing)
    return {
      width,
      height,
      cx: width * (0.5 + placing.along),
      cy: height * (0.5 + placing.aside),
      perRadius: endOnScale(look, scale) * placing.zoom,
      turnDeg: placing.turnDeg,
      light,
    };
  if (shot.view === "end_on")
    return {
      width,
      height,
      cx: Math.round(width * (0.5 + jitter(0.015))),
      cy: Math.round(height * (0.5 + jitter(0.015))),
      perRadius: endOnScale(look, scale),
      turnDeg: 0,
      light,
    };
  const perRadius = (height * (shot.fill ?? 0.4)) / 2;
  if (placing && shot.view !== "section_long") {
    const place = placeFreely(width, height, shot.side, perRadius, placing);
    return { width, height, ...place, turnDeg: placing.turnDeg, light };
  }
  const towardMiddle = shot.side === "machine" ? 0.7 : 0.3;
  return {
    width,
    height,
    cx: width * (towardMiddle + jitter(0.012)),
    cy: height * (0.5 + jitter(0.02)),
    perRadius,
    turnDeg: jitter(1.6),
    light,
  };
}

/** Pixels per wire radius of the end-on views: one value per break, so that both ends show at one magnification. */
function endOnScale(look: BreakLook, scale: number): number {
  const fill = look.shots.find((s) => s.view === "end_on" && s.fill !== undefined)?.fill ?? 0.76;
  return (END_ON.height * scale * fill) / 2;
}

export function buildBreak(look: BreakLook, scale: number): BuiltBreak {
  const body = new Body(look.body);
  const perRadius = endOnScale(look, scale);
  const ends = buildEnds(look.face, look.takeUpFace, body, METALS[look.metal], perRadius, look.seed);
  const seen = (surface: EndSurface): BuiltBreak["ends"][Side] => ({ surface, open: lookAround(surface, 420) });
  return { body, ends: { machine: seen(ends.machine), takeUp: seen(ends.takeUp) } };
}

/** Renders one photograph of a built break, upright. The same look and shot give the same bytes. */
export function renderShot(look: BreakLook, built: BuiltBreak, shot: Shot, options: RenderOptions): RenderedShot {
  const { scale } = options;
  const seed = shotSeed(look, shot);
  const frame = frameShot(look, shot, scale);
  const metal = METALS[look.metal];
  const { surface, open } = built.ends[shot.side];
  const endOn = shot.view === "end_on";
  const section = shot.view === "section_long";
  const ground: BackgroundSpec = {
    grey: endOn ? 0.05 : SIDE_CARD[look.metal],
    blotch: endOn ? 0.5 : 0.12,
    grain: 0,
    tint: [0.98, 1, 1.03],
    ...(section ? { grey: 0.07, blotch: 0.25, tint: [0.95, 1.05, 1] as const } : {}),
    ...(section ? {} : look.background),
    ...shot.background,
  };
  let layer: Layer;
  if (endOn && shot.placing) {
    // Drawn squared up in the light as it falls on the turned end, then turned.
    const { n, perRadius } = surface;
    const square = { ...frame, width: n, height: n, cx: n / 2, cy: n / 2, perRadius, turnDeg: 0 };
    const lit = { ...square, light: turned(frame.light, frame.turnDeg) };
    layer = placeEnd(renderEndOn(surface, open, built.body, lit, 6.5 * scale), perRadius, frame);
  } else if (endOn) layer = renderEndOn(surface, open, built.body, frame, 6.5 * scale);
  else if (section) {
    if (!look.section) throw new RangeError(`${look.number} has no section to show; describe it in its look.`);
    layer = renderSection(surface, built.body, look.section, metal, frame);
  } else {
    // The lights stand still while the wire is turned under them.
    const lit = shot.placing ? { ...frame, light: turned(frame.light, frame.turnDeg) } : frame;
    layer = renderSide(surface, open, built.body, look.skin, metal, lit, towardDeg(shot.view), 3.2 * scale);
  }
  const cover = new Float32Array(frame.width * frame.height);
  for (let i = 0; i < cover.length; i++) cover[i] = layer.rgba[4 * i + 3]!;
  const background = drawBackground(frame.width, frame.height, ground, seed + 5);
  const shadow = shot.shadow ?? (endOn || section ? null : SIDE_SHADOW);
  if (shadow) {
    const [x, y, soft] = [shadow.x * scale, shadow.y * scale, shadow.soft * scale];
    castShadow(background, cover, frame.width, frame.height, x, y, soft, shadow.strength);
  }
  const camera = {
    exposure: shot.meter
      ? shot.meter / meanLight(layer)
      : (look.exposure ?? 1) * (look.metal === "aluminium" && !section ? 0.8 : 1),
    softnessPx: 0.75,
    vignette: section ? 0.1 : 0.26,
    noise: 1.15,
    red: 1.01,
    blue: 0.99,
    ...shot.camera,
  };
  const radii = endOn ? [2, 6, 16].map((r) => r * scale) : section ? [] : [1.5, 4].map((r) => r * scale);
  const pixels = develop(layer, background, camera, radii, scale, seed + 9);
  const pxPerMm = (2 * frame.perRadius) / look.wireMm;
  let bar: [number, number, number, number] | null = null;
  if (!options.plain) {
    const dot = Math.max(1, Math.round(4 * scale));
    burnText(pixels, "RENDERED", 8 * dot, pixels.height - 14 * dot, dot, 0.6);
    if (shot.barMm !== undefined) bar = burnScaleBar(pixels, shot.barMm * pxPerMm, `${shot.barMm} mm`, dot);
  }
  return { shot, frame, pixels, pxPerMm, cover, bar };
}

/** Mean linear light of the wire in a picture. */
function meanLight({ rgba }: Layer): number {
  let sum = 0;
  let cover = 0;
  for (let i = 0; i < rgba.length; i += 4) {
    sum += (rgba[i]! + rgba[i + 1]! + rgba[i + 2]!) / 3;
    cover += rgba[i + 3]!;
  }
  return Math.max(1e-3, sum / Math.max(1, cover));
}

/**
 * Renders all photographs of a break, one after the other.
 *
 * @param options.scale – 1 writes pictures 2400 px wide; 0.1 is enough for tests and training.
 */
export function* renderBreak(look: BreakLook, options: RenderOptions): Generator<RenderedShot> {
  const built = buildBreak(look, options.scale);
  for (const shot of look.shots) yield renderShot(look, built, shot, options);
}
