import type { Edit } from "../../model/break/edits.ts";
import type { Bench } from "../bench/bench.svelte.ts";
import { Desk } from "../bench/desk.svelte.ts";
import type { Pictures } from "../bench/pictures.ts";
import type { SeeingTools } from "../bench/seeing.svelte.ts";
import type { App } from "../shell/app.svelte.ts";
import type { ProposeClient } from "../workers/propose-client.ts";

/** A second reader marks by eye alone: nobody is asked for proposals. */
const NO_PROPOSALS: ProposeClient = {
  propose: () => Promise.reject(new Error("Marks are not proposed in a second reading.")),
  close: () => undefined,
};

/** The desk of a second reader: the same tools on a record without anything of the first reader's. */
export class BlindDesk extends Desk {
  override readonly blind = true;

  constructor(app: App, bench: Bench, pictures: Pictures, seeing: SeeingTools) {
    super(app, bench, pictures, NO_PROPOSALS, seeing);
  }

  override do(edit: Edit): boolean {
    if (isOwnWork(edit)) return super.do(edit);
    this.app.need(
      "In a second reading only your own marks can be made; the break itself stays as it is.",
      "Finish the reading, then change the break on the bench.",
    );
    return false;
  }
}

/** How a photograph is looked at, which nobody but this reader sees. */
const LOOKING: readonly string[] = ["turnDeg", "seeing", "axisDeg", "deepTone"];

/** Marks, and ways of looking. */
export function isOwnWork(edit: Edit): boolean {
  switch (edit.kind) {
    case "add-mark":
    case "remove-mark":
    case "set-mark":
      return true;
    case "set-end":
      // Marking an end says that it is there.
      return edit.patch.note === undefined && edit.patch.recovery !== "not-recovered";
    case "set-photograph":
      return Object.keys(edit.patch).every((key) => LOOKING.includes(key));
    case "together":
      return edit.edits.every(isOwnWork);
    default:
      return false;
  }
}
