import type { App } from "../shell/app.svelte.ts";
import { Bench } from "./bench.svelte.ts";

/** Opens a break of the bench for a screen; null when it is not there. @throws StoreError */
export async function openBreak(app: App, breakId: string): Promise<Bench | null> {
  const stored = await app.bench.load(breakId);
  if (stored === null) return null;
  return new Bench(stored.record, stored.log, {
    store: app.bench,
    now: app.surroundings.now,
    reader: () => app.reader,
    onSaved: (summary) => app.noteSummaries([summary]),
  });
}

/** Takes over what another tab writes to the open break. @returns the function that stops it */
export function followOtherTabs(app: App, breakId: string, open: () => Bench | null): () => void {
  return app.bench.subscribe((event) => {
    const bench = open();
    if (bench === null) return;
    const affected = event.kind === "mode" || (event.kind === "changed" && event.breakIds.includes(breakId));
    if (affected && bench.saved) bench.reload().catch((error: unknown) => app.report(error));
  });
}

/** Asks before the page is left while an edit is not on the disk. @returns the function that stops it */
export function warnWhileUnsaved(bench: Bench): () => void {
  const warn = (event: BeforeUnloadEvent) => {
    if (!bench.saved) event.preventDefault();
  };
  addEventListener("beforeunload", warn);
  return () => removeEventListener("beforeunload", warn);
}
