import type { ConfirmationLevel } from "../levels.ts";
import type { SplitPlan } from "../splits.ts";
import type { CropOptions } from "./crops.ts";

/** What a person decides about a set before it is written. */
export interface SetOptions {
  readonly name: string;
  /** MAJOR.MINOR.PATCH. */
  readonly version: string;
  /** ISO 8601 day. */
  readonly date: string;
  readonly description: string;
  /** Laboratory or person that gives it away. */
  readonly creator: string;
  readonly url: string;
  /** SPDX identifier, one of `LICENCES`. */
  readonly licence: string;
  /** Codes of people follow from it. It is not written into the set. */
  readonly peopleSeed: string;
  /** "position": only where a photograph was taken is removed. "all": everything but the pixels and their colours. */
  readonly metadata: "position" | "all";
  /** Whether the records and the originals go along, so that another bench can take the breaks over. */
  readonly withRecords: boolean;
  /** Crops of the photographs at one scale; null or left out = none. */
  readonly crops?: CropOptions | null;
  readonly plan: SplitPlan;
  /** The lab's ladder of confirmation, lowest first; left out = the one a new bench begins with. */
  readonly levels?: readonly ConfirmationLevel[];
  /** Name and version of the program that writes it. */
  readonly app: string;
}
