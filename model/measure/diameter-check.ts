import type { End, Photograph, Uncertain, WireBreak } from "../break/wire-break.ts";
import { formatLength } from "./format.ts";
import type { MeasureChoice } from "./measure.ts";
import { scaleQuantity } from "./scale.ts";
import { withBothDirections } from "./square-pixels.ts";
import { toUncertain } from "./uncertain.ts";
import { drawnDiameterMm, NOMINAL_DIAMETER_U, UNSTATED_DIAMETER_U } from "./wire-frame.ts";

/** The drawn outline at the photograph's scale against the wire diameter known from elsewhere. */
export interface WireDiameterCheck {
  readonly drawnMm: Uncertain;
  readonly knownMm: Uncertain;
  readonly known: "measured" | "nominal";
  /** (drawn − known)/known, percent. */
  readonly differencePct: number;
  /** Difference over its combined standard uncertainty. */
  readonly inStandardUncertainties: number;
  /** False when they differ by more than two combined standard uncertainties. */
  readonly agrees: boolean;
  /** Plain sentence part when they do not agree; null when they do. */
  readonly says: string | null;
}

/**
 * Whether a scale and the known wire diameter agree over the outline drawn on a photograph: the quickest sign of a wrong
 * zoom stop, a wrong profile or an outline drawn at the neck.
 *
 * @returns null without an outline there, a scale of its own (one set by the wire diameter proves nothing) or a diameter.
 * @source JCGM 100:2008, 5.1.2 and 6.2 (expanded uncertainty, k = 2); from memory.
 */
export function checkAgainstWire(
  end: End,
  photograph: Photograph,
  wireBreak: Pick<WireBreak, "context">,
  choice: MeasureChoice = {},
): WireDiameterCheck | null {
  const { scale } = photograph;
  if (scale === null || scale.method === "wire-diameter" || scaleQuantity(scale, photograph.id) === null) return null;
  const known = knownOf(wireBreak.context);
  if (known === null) return null;
  const alone: End = { ...end, photographs: [photograph] };
  const drawn = withBothDirections(alone, (e) => drawnDiameterMm(e, null, choice.placingPx)?.diameterMm ?? null);
  if (drawn === null) return null;
  const drawnMm = toUncertain(drawn);
  const difference = drawnMm.value - known.mm.value;
  const u = Math.hypot(drawnMm.u, known.mm.u);
  const differencePct = (100 * difference) / known.mm.value;
  const inStandardUncertainties = difference === 0 ? 0 : u === 0 ? Infinity : Math.abs(difference) / u;
  const agrees = inStandardUncertainties <= 2;
  const says = agrees
    ? null
    : `over the outline the scale gives ${formatLength(drawnMm.value, drawnMm.u, "mm")}, the ${known.from} wire diameter is ` +
      `${formatLength(known.mm.value, known.mm.u, "mm")}: ${Math.abs(differencePct).toFixed(1)} % apart, more than their ` +
      "uncertainty. Check the zoom stop, the profile and where the outline was drawn.";
  return { drawnMm, knownMm: known.mm, known: known.from, differencePct, inStandardUncertainties, agrees, says };
}

function knownOf(c: WireBreak["context"]): { readonly mm: Uncertain; readonly from: "measured" | "nominal" } | null {
  const { measuredDiameterMm: measured, measuredDiameterUMm: u, nominalDiameterMm: nominal } = c;
  if (measured !== null && measured > 0)
    return { mm: { value: measured, u: u !== null && u >= 0 ? u : measured * UNSTATED_DIAMETER_U }, from: "measured" };
  return nominal !== null && nominal > 0
    ? { mm: { value: nominal, u: nominal * NOMINAL_DIAMETER_U }, from: "nominal" }
    : null;
}
