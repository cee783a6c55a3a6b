import { applyEdit, type Edit } from "../../model/break/edits.ts";
import { newBreak } from "../../model/break/new-break.ts";
import type { EndSide, Photograph, Scale, WireBreak } from "../../model/break/wire-break.ts";
import type { ViewId } from "../../model/evidence/features.ts";
import { suggest } from "../../model/evidence/suggest.ts";
import { observe } from "../../model/measure/observe.ts";
import { createIntake, type IntakeOptions } from "../intake/intake-service.ts";
import type { App } from "../shell/app.svelte.ts";
import { lightOf } from "../shell/person.ts";
import type { NewOriginal } from "../storage/contract.ts";
import { summarise } from "../storage/summary.ts";
import type { Step } from "./sequence.ts";

/** The break that photographs go to: one on this bench, or a number still to be begun. */
export interface Target {
  readonly breakId: string | null;
  readonly number: string;
}

const SIDE_PART: Readonly<Record<EndSide, string>> = { machine: "machine-end", takeUp: "take-up-end" };
const VIEW_PART: Readonly<Record<ViewId, string>> = {
  end_on: "end-on",
  side_0: "side-0",
  side_90: "side-90",
  tilt_45: "tilted-45",
  section_long: "long-section",
  section_trans: "cross-section",
  surface: "surface",
  both_ends: "both-ends",
  other: "other-view",
};

/** "B-0012_machine-end_end-on_20261125-141500.png". @param at – ISO 8601. */
export function frameName(number: string, { side, view }: Step, at: string): string {
  const safe = number.trim().replace(/[^\p{L}\p{N}.-]+/gu, "-") || "break";
  const time = at.slice(0, 19).replaceAll(/[-:]/g, "").replace("T", "-");
  return `${safe}_${SIDE_PART[side]}_${VIEW_PART[view]}_${time}.png`;
}

export interface FrameToFile extends Step {
  readonly file: File;
  /** ISO 8601 with offset. */
  readonly at: string;
  readonly scale: Scale | null;
}

/**
 * Files a frame under its end and view: inspected and copied as every photograph that comes in, then one edit with the
 * original in one strict commit.
 *
 * @returns the break as it now is on disk.
 * @throws PictureError when the frame cannot be read back; StoreError disk-full, read-only, conflict, terminated.
 */
export async function fileFrame(
  app: App,
  pictures: IntakeOptions["pictures"],
  target: Target,
  frame: FrameToFile,
): Promise<WireBreak> {
  const { file, side, view, at, scale } = frame;
  const taken = createIntake({ store: app.bench, pictures }).take([{ file, relativePath: file.name }]);
  for await (const result of taken) {
    if (result.status === "refused") throw result.error;
    const original = result.status === "ready" ? [result.original] : [];
    const photograph: Photograph = {
      ...result.photograph,
      id: app.surroundings.newId(),
      capturedAt: at,
      view,
      turnDeg: 0,
      scale,
      axisDeg: null,
      rendered: false,
      ...lightOf(app.preferences),
    };
    return commit(app, target, original, (start) => [
      ...(start.ends[side].recovery === "recovered"
        ? []
        : [{ kind: "set-end", side, patch: { recovery: "recovered" } } as const]),
      { kind: "add-photograph", side, index: start.ends[side].photographs.length, photograph },
    ]);
  }
  throw new Error("The frame was neither taken in nor refused.");
}

/** Says of an end that it was not recovered, or takes that back. @throws StoreError */
export const fileRecovery = (app: App, target: Target, side: EndSide, recovered: boolean): Promise<WireBreak> =>
  commit(app, target, [], () => [
    { kind: "set-end", side, patch: { recovery: recovered ? "awaited" : "not-recovered" } },
  ]);

async function commit(
  app: App,
  target: Target,
  originals: readonly NewOriginal[],
  editsFor: (start: WireBreak) => readonly Edit[],
): Promise<WireBreak> {
  const { now, newId } = app.surroundings;
  const at = now();
  const stored = target.breakId === null ? null : await app.bench.load(target.breakId);
  const start = stored?.record ?? newBreak(target.breakId ?? newId(), target.number, at);
  const edit: Edit = { kind: "together", edits: editsFor(start) };
  const { next, inverse } = applyEdit(start, edit, at);
  const summary = summarise(next, suggest(observe(next)).verdict);
  await app.bench.commit({
    entries: [
      {
        breakId: next.id,
        revision: next.revision,
        edit,
        inverse,
        origin: stored === null ? "import" : "reader",
        of: null,
        by: app.reader,
        at,
      },
    ],
    records: [{ record: next, summary }],
    originals,
  });
  app.noteSummaries([summary]);
  return next;
}
