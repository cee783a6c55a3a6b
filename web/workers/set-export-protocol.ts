import type { SetOptions } from "../../model/reference/export/set-options.ts";
import type { SetPlan, SetReport, SourceBreak } from "../../model/reference/export/write-set.ts";

/** What the thread asks the page for while it writes, one question at a time. */
export type ExportAsk =
  | { readonly ask: "break"; readonly id: string }
  | { readonly ask: "original"; readonly hash: string }
  | { readonly ask: "write"; readonly chunk: Uint8Array<ArrayBuffer> };

export type ExportAnswer =
  | { readonly ok: true; readonly value: SourceBreak | Blob | null }
  /** The page keeps the error itself; the thread only stops. */
  | { readonly ok: false };

export type WrittenSet = Omit<SetReport, "builder">;

export type SetExportRequests = {
  readonly write: {
    readonly input: { readonly port: MessagePort; readonly plan: SetPlan; readonly options: SetOptions };
    readonly output: WrittenSet;
  };
};
