import type { End, EndSide, Photograph, WireBreak } from "../break/wire-break.ts";
import type { FeatureId, MeasureUnit } from "../evidence/features.ts";
import type { MeasureValue } from "../evidence/observations.ts";
import type { MeasureErrorCode } from "./measure-error.ts";

/** One measure of a mark: never a bare number. */
export interface Measure {
  readonly feature: FeatureId;
  /** Key of the feature table. */
  readonly key: string;
  readonly label: string;
  readonly value: MeasureValue;
  /** null for flags, choices and texts. */
  readonly unit: MeasureUnit | null;
  /** Standard uncertainty (k = 1), same unit; null = not stated, or none (flags, choices, counts). */
  readonly u: number | null;
  /** Scale the millimetres came from; null for ratios, angles, counts and given values. */
  readonly scale: string | null;
  /** How it was found, one plain sentence. */
  readonly how: string;
  /** True when a person or a sheet stated it. */
  readonly given: boolean;
}

/** A measure the drawn shape could give, and why it does not. */
export interface AbsentMeasure {
  readonly key: string;
  readonly label: string;
  readonly code: MeasureErrorCode;
  readonly reason: string;
}

export interface MarkMeasures {
  readonly measures: readonly Measure[];
  readonly absent: readonly AbsentMeasure[];
  /** Plain sentences about the photograph or the drawing that bear on these measures. */
  readonly warnings: readonly string[];
}

/** Where a mark lies. */
export interface MarkPlacing {
  /** The photograph it is drawn on; null when it was stated without a picture. */
  readonly photograph: Photograph | null;
  readonly end: End;
  readonly side: EndSide;
  readonly wireBreak: WireBreak;
}

export interface MeasureChoice {
  /** Standard uncertainty of placing one click, px; default see `placingUncertaintyPx`. */
  readonly placingPx?: number;
}
