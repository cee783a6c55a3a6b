/** Where a limit comes from: a published source, common practice of the trade, or arithmetic shown in the reason. */
export type Standing = "published" | "common-practice" | "derived";

export interface Threshold {
  readonly value: number;
  readonly unit: string;
  readonly standing: Standing;
  readonly note: string;
}

const limit = <const V extends number>(
  value: V,
  unit: string,
  note: string,
  standing: Standing = "common-practice",
): Threshold & { readonly value: V } => ({ value, unit, standing, note });

/**
 * Every number a rule compares with, in one place, so that a lab can re-fit them on its own confirmed breaks.
 * Unless the note says otherwise: common practice, no source.
 */
export const LIMITS = {
  raRatioFull: limit(0.7, "1", "RA ratio from which the wire used its full ductility"),
  raRatioSuppressed: limit(0.3, "1", "RA ratio up to which necking is suppressed"),
  raRatioVoid: limit(0.4, "1", "RA ratio a wire parting round a cavity stays under"),
  raSmallPct: limit(15, "%", "below it a neck is called little or none, not a number to the percent", "derived"),
  steelLowRaPct: limit(35, "%", "absolute RA that is low by nature in hard steel"),
  steelLowRaRatioFrom: limit(0.6, "1", "RA ratio from which a low absolute RA says nothing against the steel"),
  faceDamaged: limit(0.5, "1", "share of the face damaged from which the end is not assessable"),
  diameterDiffersPct: limit(3, "%", "difference of the wire diameters from which the ends are not neighbours"),
  fitFrom: limit(0.8, "1", "smallest ratio of cone base (or particle) to hollow that still fits"),
  fitTo: limit(1.25, "1", "largest ratio of cone base (or particle) to hollow that still fits"),
  offAxis: limit(0.2, "R", "distance from the axis from which a tip or a hole is off-centre"),
  holeLarge: limit(0.3, "D", "hole below which the lost section alone hardly breaks a wire (1 - x²)", "derived"),
  holeDeep: limit(0.5, "D", "depth from which a hole is no shallow cup"),
  holeShallow: limit(0.3, "D", "depth below which a hollow is a shallow cup"),
  holeRunsOn: limit(2, "D", "length a cavity runs on past the break"),
  fibrousWide: limit(0.3, "D", "fibrous middle of a ductile rupture"),
  fibrousTrace: limit(0.2, "D", "a fibrous spot smaller than this is no fibrous centre"),
  lipMostOfRim: limit(0.6, "1", "share of the rim a ductile lip takes"),
  flankYoungFrom: limit(35, "°", "flank of a burst born in the breaking pass or the one before", "derived"),
  flankYoungTo: limit(55, "°", "flank of a burst born in the breaking pass or the one before", "derived"),
  flankOld: limit(25, "°", "flank below which the burst has been through several passes", "derived"),
  deltaHigh: limit(3, "1", "die-geometry number from which a pass is a burst risk"),
  deltaLow: limit(2, "1", "die-geometry number below which a pass is no burst risk by geometry"),
  sectionLong: limit(100, "D", "length of section from which no further chevron means something"),
  oxygenHighPpm: limit(200, "ppm", "oxygen of tough-pitch copper from which people name it as a cause"),
  oxygenFreePpm: limit(10, "ppm", "oxygen of oxygen-free copper (b577)", "published"),
  particleLarge: limit(0.3, "D", "particle size that raises the drawing stress"),
  skin: limit(0.9, "R", "distance from the axis from which a start is at the skin"),
  cracksRepeated: limit(2, "count", "number of cracks across the surface that makes them repeated"),
  patchHardHv: limit(700, "HV", "micro-hardness of friction martensite, from memory"),
  jointNearM: limit(1, "m", "distance of a recorded joint from the break"),
  helix: limit(5, "°", "angle of the draw lines to the axis that shows a twist"),
  parallelLines: limit(2, "°", "angle of the draw lines to the axis up to which they run parallel"),
  bendSet: limit(15, "°", "permanent bend that shows bending"),
  ratchets: limit(2, "count", "ratchet marks that show more than one start"),
  planeFlatFrom: limit(80, "°", "fracture plane square to the axis"),
  slantFrom: limit(35, "°", "slant plane of single-plane shear"),
  slantTo: limit(55, "°", "slant plane of single-plane shear"),
  slantShare: limit(0.8, "1", "share of the face the slant plane takes"),
  splitLong: limit(3, "D", "length of a split past the break"),
  sideCracks: limit(2, "count", "side cracks near the break"),
  strengthHighMPa: limit(1200, "MPa", "strength class from which steel is prone to hydrogen"),
  granularShare: limit(0.2, "1", "share of the face a granular zone takes"),
} as const;

/** Reduction of area of sound wire in tension when no reference pull exists, by class of wire, percent. */
export interface RaClass {
  readonly id: string;
  readonly name: string;
  readonly fullFromPct: number;
  readonly suppressedToPct: number;
}

/**
 * Absolute limits per class of wire. Used only when no reference pull is known; a reference pull always wins.
 * Common practice, no source; from memory of general data.
 */
export const RA_CLASSES = {
  copperSoft: { id: "copper-soft", name: "soft copper", fullFromPct: 65, suppressedToPct: 25 },
  copperHard: { id: "copper-hard", name: "hard-drawn copper", fullFromPct: 45, suppressedToPct: 15 },
  aluminiumSoft: { id: "aluminium-soft", name: "soft aluminium", fullFromPct: 65, suppressedToPct: 25 },
  aluminiumHard: { id: "aluminium-hard", name: "hard aluminium", fullFromPct: 40, suppressedToPct: 15 },
  steelLowCarbon: { id: "steel-low-carbon", name: "low-carbon steel", fullFromPct: 45, suppressedToPct: 15 },
  steelHighCarbon: { id: "steel-high-carbon", name: "high-carbon steel", fullFromPct: 25, suppressedToPct: 10 },
  steelStainless: { id: "steel-stainless", name: "drawn stainless steel", fullFromPct: 40, suppressedToPct: 15 },
  copperAny: { id: "copper-any", name: "copper of unknown temper", fullFromPct: 65, suppressedToPct: 15 },
  aluminiumAny: { id: "aluminium-any", name: "aluminium of unknown temper", fullFromPct: 65, suppressedToPct: 15 },
  steelAny: { id: "steel-any", name: "steel of unknown class", fullFromPct: 45, suppressedToPct: 10 },
} as const satisfies Readonly<Record<string, RaClass>>;

/** Units a piece of evidence adds or takes. A proposal to be re-fitted on the lab's own confirmed breaks. */
export const UNITS = { decisive: 4, strong: 2, moderate: 1, weak: 0.5, gate: 0, note: 0 } as const;

/** Lead over the next type, in units, from which a type is suggested. */
export const LEAD_UNITS = 2;
