import type { WireBreak } from "../break/wire-break.ts";
import type { Observations } from "../evidence/observations.ts";
import type { MeasureChoice } from "./measures.ts";

/** What the evidence room may know of a break: marks, states, views and context joined, free of pixels. */
export declare function observe(wireBreak: WireBreak, choice?: MeasureChoice): Observations;
