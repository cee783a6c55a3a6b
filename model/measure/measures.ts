import type { Mark } from "../break/wire-break.ts";
import { VIEW_KIND, featureSpec } from "../evidence/features.ts";
import type { FeatureId } from "../evidence/features.ts";
import { MarkSheet } from "./mark-sheet.ts";
import type { MarkCase } from "./mark-case.ts";
import type { MarkMeasures, MarkPlacing, Measure, MeasureChoice } from "./measure.ts";
import { measureChevron, measureConeApex, measureConeFlank } from "./of-cone.ts";
import {
  countMarks,
  measureAreaFraction,
  measureBeachMarks,
  measureEndHole,
  measureFibrousZone,
  measureFinalZone,
  measureOrigin,
  measureParticle,
  measureRadialMarks,
  measureShearLip,
  measureSwirl,
} from "./of-face.ts";
import {
  measureBendSet,
  measureCorrosionPit,
  measureFracturePlane,
  measureLipAngle,
  measureLongitudinalLine,
  measureLongitudinalSplit,
  measureMeltBead,
  measureNick,
  measureSurfaceCrack,
  measureTwistLines,
  measureWeldBand,
  measureZoneArc,
  measureZoneLength,
} from "./of-side.ts";
import { finishNeck, measureNeck, measureWireOutline } from "./of-wire.ts";
import { placingUncertaintyPx } from "./plane.ts";
import { scaleFault } from "./scale.ts";
import { directionShares, squareMark, squarePlacing, stretchStep, unevenScales } from "./square-pixels.ts";
import { wireFrame } from "./wire-frame.ts";

export type { AbsentMeasure, MarkMeasures, MarkPlacing, Measure, MeasureChoice } from "./measure.ts";

/** What each feature's drawn shape says. Every feature has a row, so none is forgotten. */
const MEASURERS: Readonly<Record<FeatureId, (c: MarkCase) => void>> = {
  wire_outline: measureWireOutline,
  neck: measureNeck,
  cone_apex: measureConeApex,
  cone_flank: measureConeFlank,
  end_hole: measureEndHole,
  fibrous_zone: measureFibrousZone,
  radial_marks: measureRadialMarks,
  shear_lip: (c) => (c.kind === "S" ? measureLipAngle(c) : measureShearLip(c)),
  bright_facets: measureAreaFraction,
  rock_candy: measureAreaFraction,
  particle: measureParticle,
  fracture_plane: measureFracturePlane,
  origin: measureOrigin,
  beach_marks: measureBeachMarks,
  ratchet_marks: (c) => countMarks(c, "Ratchet marks"),
  final_zone: measureFinalZone,
  longitudinal_line: measureLongitudinalLine,
  surface_crack: measureSurfaceCrack,
  nick: measureNick,
  twist_lines: measureTwistLines,
  bend_set: measureBendSet,
  longitudinal_split: measureLongitudinalSplit,
  heat_tint: measureZoneLength,
  weld_band: measureWeldBand,
  face_damage: measureAreaFraction,
  chevron: measureChevron,
  sliver: measureZoneLength,
  drag_scoring: (c) => {
    measureZoneArc(c);
    measureZoneLength(c);
  },
  swirl: measureSwirl,
  secondary_crack: (c) => countMarks(c, "Side cracks"),
  melt_bead: measureMeltBead,
  face_deposit: measureAreaFraction,
  corrosion_pit: measureCorrosionPit,
  bright_patch: (c) => {
    measureZoneLength(c);
    measureZoneArc(c);
  },
};

const TILTED = "Tilted view: lengths along the tilt look shorter. Measure ratios on the end-on view.";

/**
 * The measures of a mark as a sheet that still knows the sources of each number, for joining several marks.
 *
 * Only a present mark is measured; given values win over computed ones.
 */
export function markSheet(mark: Mark, on: MarkPlacing, choice: MeasureChoice = {}): MarkSheet {
  const uneven = unevenScales(on.end);
  if (uneven.length === 0) return squareSheet(mark, on, choice);
  const sheet = squareSheet(squareMark(mark, on.end), squarePlacing(on), choice);
  for (const scale of uneven) {
    const step = stretchStep(scale);
    const shifted = squareSheet(squareMark(mark, on.end, step), squarePlacing(on, step), choice);
    sheet.widen((key, value) => {
      const moved = shifted.quantity(key);
      return moved === undefined ? null : directionShares(scale, step, value, moved.value, key === "clock" ? 12 : null);
    });
  }
  return sheet;
}

/** The measures on photographs whose pixels are square. */
function squareSheet(mark: Mark, on: MarkPlacing, choice: MeasureChoice): MarkSheet {
  const sheet = new MarkSheet(mark.feature, mark.state === "present" ? mark.given : {});
  if (mark.state !== "present") return sheet;
  const { photograph } = on;
  const kind = photograph === null ? null : VIEW_KIND[photograph.view];
  if (photograph === null || mark.geometry === null || kind === null) {
    if (mark.feature === "neck") finishNeck(sheet, on);
    return sheet;
  }
  const spec = featureSpec(mark.feature);
  if (!spec.geometry[kind]?.includes(mark.geometry.type)) {
    sheet.warn(`“${spec.name}” is not measured in this shape on this view.`);
    if (mark.feature === "neck") finishNeck(sheet, on);
    return sheet;
  }
  const placingPx = choice.placingPx ?? placingUncertaintyPx(photograph.widthPx);
  const frame = wireFrame(on.end, photograph, on.wireBreak, choice);
  const group = withItself(on.end.marks, mark).filter(
    (m) =>
      m.feature === mark.feature && m.state === "present" && m.photographId === photograph.id && m.geometry !== null,
  );
  if (photograph.view === "tilt_45") sheet.warn(TILTED);
  sheet.warn(...frame.warnings);
  const fault = photograph.scale === null ? null : scaleFault(photograph.scale);
  if (fault !== null) sheet.warn(fault);
  MEASURERS[mark.feature]({
    mark,
    geometry: mark.geometry,
    photograph,
    kind,
    frame,
    placingPx,
    choice,
    on,
    group,
    sheet,
  });
  return sheet;
}

/** The marks of an end with this one in its present shape, so that a mark still being drawn counts too. */
const withItself = (marks: readonly Mark[], mark: Mark): readonly Mark[] =>
  marks.some((m) => m.id === mark.id) ? marks.map((m) => (m.id === mark.id ? mark : m)) : [...marks, mark];

/** Everything that can be said of a mark in numbers, and what cannot be said and why. Never NaN. */
export const measureMark = (mark: Mark, on: MarkPlacing, choice: MeasureChoice = {}): MarkMeasures =>
  markSheet(mark, on, choice).result();

/** The measures of a mark: given ones first, computed ones fill in. */
export const measuresOf = (mark: Mark, on: MarkPlacing, choice: MeasureChoice = {}): readonly Measure[] =>
  measureMark(mark, on, choice).measures;
