import type { LongTask } from "../../log/long-task.svelte.ts";
import { BenchFileError } from "../../storage/bench-file-error.ts";
import type { BenchExportReport } from "../../storage/contract.ts";
import { labSettings } from "../../lab/lab-settings.ts";
import type { App } from "../app.svelte.ts";
import { openFileTarget } from "./file-target.ts";

/** Name of a bench file of today: "endpair-bench-2026-03-02.zip". @param now – ISO 8601. */
export const benchFileName = (now: string): string => `endpair-bench-${now.slice(0, 10)}.zip`;

/**
 * Saves breaks as a bench file.
 *
 * @param breakIds – null for all.
 * @returns null when the person closed the dialog or cancelled.
 * @throws BenchFileError, StoreError, or what the browser says about the file.
 */
export async function saveBenchFile(
  app: App,
  task: LongTask,
  breakIds: readonly string[] | null,
): Promise<BenchExportReport | null> {
  const target = await openFileTarget(benchFileName(app.surroundings.now()));
  if (target === null) return null;
  try {
    const report = await task.run("Saving the bench file", async (work) => {
      // A few breaks are given to somebody; the whole bench is kept, or moved.
      const settings = breakIds === null ? await labSettings(app.bench) : null;
      return app.bench.exportBench(breakIds, target.stream, work, settings);
    });
    if (report !== null) await target.finish();
    return report;
  } catch (error) {
    await target.discard();
    if (!(error instanceof BenchFileError && error.code === "cancelled")) throw error;
    app.say("Stopped. No file was saved.");
    return null;
  }
}
