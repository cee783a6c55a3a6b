import type { Photograph, Scale } from "../break/wire-break.ts";
import { formatLength } from "./format.ts";
import { exact, hypotenuse, linear, minus, over, reading, standardUncertainty, toUncertain } from "./uncertain.ts";
import type { Quantity, Uncertain } from "./uncertain.ts";

/** A photograph's scale, ready for display. */
export interface PixelScale extends Uncertain {
  /** px per mm; u is 0 and `uStated` false when the scale came without an uncertainty. */
  readonly uStated: boolean;
  readonly description: string;
}

/**
 * Pixels per millimetre as a quantity with its named sources.
 *
 * The same known wire diameter, or the same profile, is one source however many photographs use it.
 *
 * @param photographId – names the sources that belong to this photograph alone.
 * @returns null when there is no scale or it is unusable (see `scaleFault`): then there are no millimetres.
 */
export function scaleQuantity(scale: Scale | null, photographId: string): Quantity | null {
  if (scale === null || scaleFault(scale) !== null) return null;
  switch (scale.method) {
    case "wire-diameter":
      return over(
        reading(`scale-outline:${photographId}`, scale.diameterPx.value, scale.diameterPx.u),
        knownDiameter(scale.diameterMm),
      );
    case "drawn-length": {
      const end = (name: string, v: number) => reading(`scale-line:${photographId}:${name}`, v, scale.placingPx);
      const length = hypotenuse(
        minus(end("bx", scale.b[0]), end("ax", scale.a[0])),
        minus(end("by", scale.b[1]), end("ay", scale.a[1])),
      );
      return over(length, reading(`scale-length:${photographId}`, scale.lengthMm.value, scale.lengthMm.u));
    }
    case "profile":
      return profileQuantity(scale);
    case "stated":
      return scale.pxPerMm.u === 0
        ? exact(scale.pxPerMm.value)
        : reading(`stated:${photographId}`, scale.pxPerMm.value, scale.pxPerMm.u);
  }
}

type ProfileScale = Extract<Scale, { method: "profile" }>;

/** Names the readings of one calibration; each direction, and the stage micrometer behind both, is a source of its own. */
export const calibrationSource = (scale: ProfileScale): string =>
  scale.calibration === undefined ? `profile:${scale.profileId}` : `profile:${scale.profileId}@${scale.calibration.at}`;

/** Relative standard uncertainty of one direction without the share of the stage micrometer. */
export function ownRelativeU(pxPerMm: Uncertain, commonU: number): number {
  const relative = pxPerMm.u / pxPerMm.value;
  return Math.sqrt(Math.max(0, relative * relative - commonU * commonU));
}

/**
 * Pixels per millimetre along x of a profile. What y adds comes in where a photograph's pixels are made square
 * (`square-pixels.ts`), so that every length uses the direction it lies in.
 */
function profileQuantity(scale: ProfileScale): Quantity {
  const { value, u } = scale.pxPerMm;
  const common = Math.min(scale.calibration?.commonU ?? 0, u / value);
  const name = scale.pxPerMmY === undefined ? calibrationSource(scale) : `${calibrationSource(scale)}:x`;
  return linear(value, [
    [reading(name, 1, ownRelativeU(scale.pxPerMm, common)), value],
    [reading(`micrometer:${scale.profileId}`, 1, common), value],
  ]);
}

/** A known wire diameter as a source that several photographs may share. */
export const knownDiameter = (mm: Uncertain): Quantity => reading(`known-diameter:${mm.value}`, mm.value, mm.u);

/** Why a scale cannot be used, in a plain sentence; null when it can. */
export function scaleFault(scale: Scale): string | null {
  const usable = (...values: readonly Uncertain[]) =>
    values.every((v) => Number.isFinite(v.value) && v.value > 0 && Number.isFinite(v.u) && v.u >= 0);
  switch (scale.method) {
    case "wire-diameter":
      return usable(scale.diameterMm, scale.diameterPx)
        ? null
        : "The wire diameter of the scale must be greater than zero, in mm and in pixels.";
    case "drawn-length": {
      const px = Math.hypot(scale.b[0] - scale.a[0], scale.b[1] - scale.a[1]);
      if (!usable(scale.lengthMm)) return "The length of the scale must be greater than zero.";
      return px > 0 && scale.placingPx >= 0 && Number.isFinite(px + scale.placingPx)
        ? null
        : "The line drawn for the scale has no length. Draw it from end to end.";
    }
    case "profile":
    case "stated":
      return usable(scale.pxPerMm) && (scale.method === "stated" || usable(scale.pxPerMmY ?? scale.pxPerMm))
        ? null
        : "The pixels per millimetre must be greater than zero.";
  }
}

/** Whether the scale came with an uncertainty. A stated scale with 0 has none. */
export const uncertaintyStated = (scale: Scale): boolean => scale.method !== "stated" || scale.pxPerMm.u > 0;

/** Pixels per millimetre with standard uncertainty and where they came from; null = no usable scale. */
export function pxPerMm(scale: Scale | null): PixelScale | null {
  const quantity = scaleQuantity(scale, "");
  if (scale === null || quantity === null) return null;
  return { ...toUncertain(quantity), uStated: uncertaintyStated(scale), description: describeScale(scale) };
}

/** Where the millimetres came from, in a plain sentence part. */
export function describeScale(scale: Scale): string {
  switch (scale.method) {
    case "wire-diameter":
      return `from the wire diameter, ${formatLength(scale.diameterMm.value, scale.diameterMm.u, "mm")}`;
    case "drawn-length": {
      const length = formatLength(scale.lengthMm.value, scale.lengthMm.u, "mm");
      return `from ${length} drawn over the ${scale.over === "scale-bar" ? "scale bar" : "stage micrometer"}`;
    }
    case "profile":
      return scale.pxPerMmY === undefined
        ? `from the profile “${scale.name}”`
        : `from the profile “${scale.name}”, x and y apart`;
    case "stated":
      return scale.pxPerMm.u > 0 ? "as stated on the sheet" : "as stated on the sheet, uncertainty not stated";
  }
}

/** A length in px turned into mm at the photograph's scale; null = no usable scale. */
export function lengthInMm(px: Quantity, photograph: Pick<Photograph, "id" | "scale">): Quantity | null {
  const scale = scaleQuantity(photograph.scale, photograph.id);
  return scale === null ? null : over(px, scale);
}

export interface ScaleComparison {
  /** (b − a)/a in percent. */
  readonly differencePct: number;
  /** Difference over its combined standard uncertainty. */
  readonly inStandardUncertainties: number;
  /** False when they differ by more than two combined standard uncertainties. */
  readonly agrees: boolean;
  /** Plain sentence when they do not agree. */
  readonly warning: string | null;
}

/**
 * Compares two scales of the same photograph, read independently.
 *
 * @returns null when either is missing or unusable.
 * @source common practice, no source (compatibility within k = 2)
 */
export function checkScale(a: Scale | null, b: Scale | null): ScaleComparison | null {
  const first = scaleQuantity(a, "a");
  const second = scaleQuantity(b, "b");
  if (a === null || b === null || first === null || second === null) return null;
  const difference = minus(second, first);
  const u = standardUncertainty(difference);
  const differencePct = (100 * difference.value) / first.value;
  const inStandardUncertainties = difference.value === 0 ? 0 : u === 0 ? Infinity : Math.abs(difference.value) / u;
  const agrees = inStandardUncertainties <= 2;
  const warning = agrees
    ? null
    : `The scale ${describeScale(b)} differs by ${differencePct.toFixed(1).replace("-", "−")} % from the scale ${describeScale(a)}. Check both.`;
  return { differencePct, inStandardUncertainties, agrees, warning };
}
