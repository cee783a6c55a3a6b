import type { BreakTypeId } from "../../model/evidence/break-type-ids.ts";
import type { FeatureId } from "../../model/evidence/features.ts";
import type { MarkState } from "../../model/evidence/observations.ts";

/**
 * What each feature looks like on metal, drawn for this project: SVG path data on a 16 × 16 grid, to be stroked
 * 1.5 wide with round caps and joins in the colour of the text, never filled. Legible from 14 px on.
 * A ring is the face seen end-on; two level lines are the wire seen from the side, its axis level.
 */
export const FEATURE_GLYPHS: Readonly<Record<FeatureId, string>> = {
  /** The round outline with its diameter. */
  wire_outline: "M14.5 8a6.5 6.5 0 1 1-13 0a6.5 6.5 0 1 1 13 0M1.5 8h2.6M6.7 8h2.6M11.9 8h2.6",
  /** A waist in the side view. */
  neck: "M1 2.5c4.2 0 4.6 3.3 7 3.3s2.8-3.3 7-3.3M1 13.5c4.2 0 4.6-3.3 7-3.3s2.8 3.3 7 3.3",
  /** The tip of a cone. */
  cone_apex: "M1 3h2.6l6.6 4M1 13h2.6l6.6-4M14.8 8a1.9 1.9 0 1 1-3.8 0a1.9 1.9 0 1 1 3.8 0",
  /** A cone in section, one flank and its angle to the axis. */
  cone_flank: "M1 3h3l10 5-10 5H1M1 8h1.2M4.4 8H14M8.4 5.2A6.2 6.2 0 0 0 7.8 8",
  /** A hole in the face. */
  end_hole:
    "M14.5 8a6.5 6.5 0 1 1-13 0a6.5 6.5 0 1 1 13 0M11 8a3 3 0 1 1-6 0a3 3 0 1 1 6 0M6.6 8.2A1.5 1.5 0 0 1 8 6.6",
  /** Torn fibres at the centre. */
  fibrous_zone:
    "M14.5 8a6.5 6.5 0 1 1-13 0a6.5 6.5 0 1 1 13 0M6.1 5.2l.9.8M9.6 4.9l-.6.9M11.2 7.3l-1 .3M7.6 7.7l1.1.5M4.8 7.9l1 .3M6.2 10.4l.9-.6M9.4 10.9l.3-1M8 12.2h.1",
  /** Rays on the face. */
  radial_marks:
    "M14.5 8a6.5 6.5 0 1 1-13 0a6.5 6.5 0 1 1 13 0M10.0 8.0L12.6 8.0M9.4 9.4L11.3 11.3M8.0 10.0L8.0 12.6M6.6 9.4L4.7 11.3M6.0 8.0L3.4 8.0M6.6 6.6L4.7 4.7M8.0 6.0L8.0 3.4M9.4 6.6L11.3 4.7",
  /** A slanting ring along part of the rim. */
  shear_lip:
    "M14.5 8a6.5 6.5 0 1 1-13 0a6.5 6.5 0 1 1 13 0M4.9 9.8A3.6 3.6 0 1 1 11.1 9.8M4.9 9.8L2.4 11.2M4.5 7.1L1.7 6.3M6.2 4.9L4.7 2.4M9.8 4.9L11.2 2.4M11.5 7.1L14.3 6.3M11.1 9.8L13.6 11.2",
  /** Flat bright faces. */
  bright_facets:
    "M14.5 8a6.5 6.5 0 1 1-13 0a6.5 6.5 0 1 1 13 0M7.2 1.6L5.6 6.6 1.7 9.4M5.6 6.6l5.2 2.8 3.5-1.8M10.8 9.4L8.6 14.4",
  /** Whole grains side by side. */
  rock_candy: "M5 1.4l3 1.7v3.4L5 8.2 2 6.5V3.1zM11 1.4l3 1.7v3.4l-3 1.7-3-1.7V3.1zM5 8.2v3.4l3 1.7 3-1.7V8.2",
  /** A foreign body in the face. */
  particle:
    "M14.5 8a6.5 6.5 0 1 1-13 0a6.5 6.5 0 1 1 13 0M4.6 7l3.6-2.8 3.6 2-.4 3.9-3.9 1.5zM6.4 7.4l3.4 2.4M6.6 9l3.4-2.6",
  /** A slanting end in the side view. */
  fracture_plane: "M1 3h6.5l6 10H1M1 8h1.6M4.6 8h1.6",
  /** The spot at the rim where it started. */
  origin:
    "M14.5 8a6.5 6.5 0 1 1-13 0a6.5 6.5 0 1 1 13 0M10 12.6a2 2 0 1 1-4 0a2 2 0 1 1 4 0M8 8.4V5M5.4 9.2L3.8 6.4M10.6 9.2l1.6-2.8",
  /** Arcs round the start. */
  beach_marks:
    "M14.5 8a6.5 6.5 0 1 1-13 0a6.5 6.5 0 1 1 13 0M5.1 13.8a3 3 0 0 1 5.8 0M3 12.2a5.6 5.6 0 0 1 10 0M1.7 9.6a8.3 8.3 0 0 1 12.6 0",
  /** Slanting steps inward from the rim. */
  ratchet_marks:
    "M14.5 8a6.5 6.5 0 1 1-13 0a6.5 6.5 0 1 1 13 0M13.0 12.2L10.5 8.8M9.7 14.3L9.6 10.1M5.8 14.1L8.1 10.6M2.7 11.7L6.6 10.2",
  /** The last part to give, hatched. */
  final_zone:
    "M14.5 8a6.5 6.5 0 1 1-13 0a6.5 6.5 0 1 1 13 0M2.1 5.4h11.8M6 1.8L3.7 5.2M9.2 1.6L6.7 5.2M12 2.9l-1.9 2.4",
  /** A line along the wire. */
  longitudinal_line: "M1 3h14M1 13h14M1 8.4l3.4-.8 3.2.7 3.6-.8 3.8.6",
  /** Short cracks across the wire. */
  surface_crack: "M1 3h14M1 13h14M3.8 5.2l1 1.9-1 1.9 1 1.8M7.6 5.2l1 1.9-1 1.9 1 1.8M11.4 5.2l1 1.9-1 1.9 1 1.8",
  /** A notch in the skin. */
  nick: "M1 4h4.6l2.4 5 2.4-5H15M1 13h14",
  /** Draw lines wound round. */
  twist_lines: "M1 3h14M1 13h14M2 13c3-2.6 1-7.4 4-10M6 13c3-2.6 1-7.4 4-10M10 13c3-2.6 1-7.4 4-10",
  /** A kinked end. */
  bend_set: "M1 8.6h4.4c2.6 0 3.6-1 4-3.2l.6-3.6M1 14h5.4c5 0 7.4-2.4 8-7l.6-4M10 1.8l5 1.2",
  /** Split along the axis. */
  longitudinal_split: "M1 3h8l6-1.4M15 5.6L6 8l9 2.4M1 13h8l6 1.4",
  /** Heat above the wire. */
  heat_tint: "M1 9.4h14M1 14h14M4 1.6c-1.7 1.8 1.7 3 0 5.2M8 1.6c-1.7 1.8 1.7 3 0 5.2M12 1.6c-1.7 1.8 1.7 3 0 5.2",
  /** An upset band across the wire. */
  weld_band:
    "M1 4.4h3.6C5 2.4 6 1.8 8 1.8s3 .6 3.4 2.6H15M1 11.6h3.6c.4 2 1.4 2.6 3.4 2.6s3-.6 3.4-2.6H15M4.6 4.4v7.2M11.4 4.4v7.2",
  /** Scratches over the face. */
  face_damage: "M14.5 8a6.5 6.5 0 1 1-13 0a6.5 6.5 0 1 1 13 0M3.8 9.6l5-6M5.4 11.8l6.4-7.6M8 12.9l4.6-5.4",
  /** Arrowheads along the axis. */
  chevron: "M1 3h14M1 13h14M3 5.4L6.4 8 3 10.6M8.6 5.4L12 8l-3.4 2.6",
  /** A flake standing off the skin. */
  sliver: "M1 13h14M1 7h3.4L13.6 2 9.4 7H15",
  /** Many scores along the wire. */
  drag_scoring: "M1 2.4h14M1 13.6h14M2.6 5.2h6M6.6 7.1h7M2.6 9h4M5 10.9h7.6",
  /** A circular smear. */
  swirl:
    "M14.5 8a6.5 6.5 0 1 1-13 0a6.5 6.5 0 1 1 13 0M8 8.2c.5-1 1.9-.5 1.8.7-.1 1.6-2.3 2.2-3.5 1-1.6-1.7-.7-4.6 1.7-5.1 2.9-.6 5.1 2.1 4.3 4.9",
  /** A branching crack. */
  secondary_crack: "M1 3h5.2l1.6 3.2-1.6 2.6 1.8 2.6-1 2.4M8.2 3H15M7.8 6.2l3.6 1.4.8 2.8M11.4 7.6l2.6-.8",
  /** A molten ball on the wire. */
  melt_bead: "M1 6.2h5.2M1 9.8h5.2M14.6 8a4.3 4.3 0 1 1-8.6 0a4.3 4.3 0 1 1 8.6 0M9.2 6.8a1.6 1.6 0 0 1 1.6-1.2",
  /** A crust on the face. */
  face_deposit:
    "M14.5 8a6.5 6.5 0 1 1-13 0a6.5 6.5 0 1 1 13 0M4.6 9.2C3.7 7.6 5 6.3 6.3 6.7c.3-1.9 3-2 3.5-.4 1.6-.4 2.7 1.2 1.9 2.5.5 1.4-.8 2.5-2 2-.9 1.1-2.6.8-3-.2-1.3.3-2.4-.4-2.1-1.4z",
  /** An undercut pit in the skin. */
  corrosion_pit: "M1 3.6h5C2.8 5.4 3 11 8 11s5.2-5.6 2-7.4h5M1 14h14",
  /** A rubbed patch. */
  bright_patch: "M1 3h14M1 13h14M3.4 8c0-1.5 2-2.7 4.6-2.7s4.6 1.2 4.6 2.7-2 2.7-4.6 2.7S3.4 9.5 3.4 8zM6.6 9l2.8-2",
};

/**
 * The two ends of each break type facing each other, machine end left and take-up end right: SVG path data on a
 * 32 × 16 grid, stroked like the feature glyphs.
 */
export const TYPE_GLYPHS: Readonly<Record<BreakTypeId, string>> = {
  tensile_overload:
    "M1 3h3c4 0 4 2.6 8 2.6l2.4 1.6v1.6L12 10.4c-4 0-4 2.6-8 2.6H1M31 3h-3c-4 0-4 2.6-8 2.6h-2.6L19.4 7.2v1.6l-2 1.6H20c4 0 4 2.6 8 2.6h3",
  central_burst: "M1 3h5.6L14.6 8l-8 5H1M31 3H17l8 5-8 5h14",
  casting_void: "M1 3h13v3H7.6C5.4 6 5.4 10 7.6 10H14v3H1M31 3h-13v3H24.4C26.6 6 26.6 10 24.4 10H18v3H31",
  inclusion:
    "M1 3h12v2.4M13 10.6V13H1M10.4 7.2l2.6-1.8 2.6 1.4v2.4L13 10.6l-2.6-1.6zM31 3H19v2.4l-.2 0 3.2 1.4v2.4l-3 1.4V13h12",
  surface_defect:
    "M1 3h9l4.4 10H1M1 5.6l2.6-.5 2.6.5 2.8-.5 1.8.3M31 3H15l4.4 10H31M31 5.6l-3-.5-3 .5-3-.5-3 .4-1.4-.1",
  mechanical_damage: "M1 3h7.4L14 8.4V13H1M31 3h-7.4L18 8.4V13h13",
  weld_break:
    "M1 4.2h5.2C6.8 2 9 1.8 14 1.8v12.4c-5 0-7.2-.2-7.8-2.4H1M6.2 4.2v7.6M31 4.2h-5.2C25.2 2 23 1.8 18 1.8v12.4c5 0 7.2 -0.2 7.8 -2.4H31M25.8 4.2v7.6",
  torsion:
    "M1 3h13v10H1M2.4 13c3-2.6 1-7.4 4-10M6.8 13c3-2.6 1-7.4 4-10M31 3H18v10h13M21 13c3-2.6 1-7.4 4-10M25.4 13c3-2.6 1-7.4 4-10",
  bending:
    "M1 7h5c2.8 0 3.6-1.4 4.2-5.4M1 14h6c5.2 0 7-3.6 7.6-9.8M10.2 1.6l4.4 2.6M31 7h-5c-2.8 0 -3.6 -1.4 -4.2 -5.4M31 14h-6c-5.2 0 -7 -3.6 -7.6 -9.8M21.8 1.6l-4.4 2.6",
  fatigue:
    "M1 3h13v10H1M14 5.8A2.8 2.8 0 0 1 11.2 3M14 8.6A5.6 5.6 0 0 1 8.4 3M14 11.2A8.2 8.2 0 0 1 5.8 3M31 3h-13v10H31M18 5.8A2.8 2.8 0 0 0 20.8 3M18 8.6A5.6 5.6 0 0 0 23.6 3M18 11.2A8.2 8.2 0 0 0 26.2 3",
  hydrogen_damage:
    "M1 3h13l-1.6 1.7L14 6.3l-1.6 1.7L14 9.7l-1.6 1.6L14 13H1M3.6 3v2.6M6.6 3v1.8M9.6 3v2.6M5 13v-2.6M8 13v-1.8M10.6 13v-2.4M31 3h-13l1.6 1.7L18 6.3l1.6 1.7L18 9.7l1.6 1.6L18 13H31M28.4 3v2.6M25.4 3v1.8M22.4 3v2.6M27 13v-2.6M24 13v-1.8M21.4 13v-2.4",
  hot_crack:
    "M1 3h10.4L14 5.5 11.4 8 14 10.5 11.4 13H1M11.4 8H7.8L5.4 5.5 7.6 3M7.8 8L5.4 10.5 7.6 13M5.4 5.5H2M5.4 10.5H2M31 3h-10.4L18 5.5 20.6 8 18 10.5 20.6 13H31M20.6 8H24.2L26.6 5.5 24.4 3M24.2 8L26.6 10.5 24.4 13M26.6 5.5H30M26.6 10.5H30",
  surface_martensite:
    "M1 3h13v10H1M4 3c.4 3 3 4.6 10 4.6M7 3v1.8M9.6 3v2.4M12 3v2.4M31 3h-13v10H31M28 3c-0.4 3 -3 4.6 -10 4.6M25 3v1.8M22.4 3v2.4M20 3v2.4",
  corrosion_scc:
    "M1 3h1.6C1 4.8 2 6.8 4 6.8S7 4.8 5.4 3H14v10H1M9 3l.8 2.8-1.4 2 1 2.2M9.8 5.8l2 1.2M31 3h-1.6C31 4.8 30 6.8 28 6.8S25 4.8 26.6 3H18v10H31M23 3l-0.8 2.8 1.4 2 -1 2.2M22.2 5.8l-2 1.2",
  longitudinal_split:
    "M1 3h6l7.6-1.6M14.6 5.4L4 8l10.6 2.6M1 13h6l7.6 1.6M31 3h-6l-7.6 -1.6M17.4 5.4L28 8l-10.6 2.6M31 13h-6l-7.6 1.6",
  shear_45: "M1 3h3.4l10 10H1M31 13h-3.4l-10-10H31",
  overheated:
    "M1 6.2h5M1 9.8h5M14.4 8a4.3 4.3 0 1 1-8.6 0a4.3 4.3 0 1 1 8.6 0M9 6.8a1.6 1.6 0 0 1 1.6-1.2M31 6.2h-5M31 9.8h-5M17.6 8a4.3 4.3 0 1 0 8.6 0a4.3 4.3 0 1 0 -8.6 0M23 6.8a1.6 1.6 0 0 0 -1.6 -1.2",
};

/** The three states of a mark on a 16 × 16 grid, stroked like the feature glyphs. */
export const STATE_GLYPHS: Readonly<Record<MarkState, string>> = {
  /** Seen. */
  present: "M3 8.5l3.2 3.5L13 4.5",
  /** Looked for, absent. */
  absent: "M14.5 8a6.5 6.5 0 1 1-13 0a6.5 6.5 0 1 1 13 0M3.6 12.4l8.8-8.8",
  /** Cannot be assessed. */
  not_assessable: "M4.2 5.6C4.4 3.6 6 2.2 8 2.2s3.8 1.4 3.8 3.4c0 2.7-3.8 2.6-3.8 5M8 13.7v.1",
};
