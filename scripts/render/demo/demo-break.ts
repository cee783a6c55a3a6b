import type { Verdict } from "../../../model/evidence/break-type-ids.ts";
import type { FeatureId } from "../../../model/evidence/features.ts";
import type { MarkState, MeasureValue } from "../../../model/evidence/observations.ts";
import type { Route } from "../../../model/route/route.ts";
import type { Geometry } from "../../../model/break/geometry.ts";
import type { BreakLook } from "../break-spec.ts";
import type { EndMarker } from "../end-marker.ts";

/** One feature of an observation sheet. */
export interface SheetFeature {
  readonly feature: FeatureId;
  readonly state?: MarkState;
  readonly photo?: string;
  readonly geometry?: Geometry;
  readonly measures?: Readonly<Record<string, MeasureValue>>;
}

/** One invented break of the demo mill: how it looks, what a careful technician records, and what it is. */
export interface DemoBreak {
  readonly look: BreakLook;
  readonly story: string;
  readonly expected: Verdict;
  /** Time of the first photograph, local time of the mill. */
  readonly taken: string;
  readonly grade: string;
  readonly context: Readonly<Record<string, unknown>>;
  /** The whole drawing route, where it was recorded; the observation sheet has no place for it. */
  readonly route?: Route;
  readonly lost?: "machine" | "takeUp";
  /** Marks of one end, from the true geometry of the render. */
  readonly marks: (end: EndMarker) => readonly SheetFeature[];
}
