import type { App } from "../shell/app.svelte.ts";
import type { BenchFileReport } from "../storage/contract.ts";
import { BenchFileError } from "../storage/bench-file-error.ts";
import type { LongTask } from "./long-task.svelte.ts";

/** What opening a bench file did, and what became of the settings in it, each a sentence. */
export interface OpenedBenchFile extends BenchFileReport {
  readonly settingsSay: readonly string[];
}

/**
 * Merges a bench file into this bench, breaks first, then what its lab has set up; nothing is overwritten.
 *
 * @returns null when it was cancelled before it was merged, or other work is running.
 * @throws BenchFileError, StoreError: why the file was refused.
 */
export async function openBenchFile(app: App, task: LongTask, file: Blob): Promise<OpenedBenchFile | null> {
  try {
    return await task.run("Opening the bench file", async (work) => {
      const report = await app.bench.importBench(file, app.reader, app.surroundings.now(), work);
      app.say(reportInWords(report));
      const [{ bringInSettings }, { noteUnsettled, unsettledIds }] = await Promise.all([
        import("../lab/bring-in.ts"),
        import("../exchange/exchange-log.ts"),
      ]);
      const unsettled = report.merged.filter((one) => one.unsettled).map(({ id }) => id);
      if (unsettled.length > 0) await noteUnsettled(app.bench, [...(await unsettledIds(app.bench)), ...unsettled]);
      const settingsSay = await bringInSettings(app, report.settings);
      const { makeMissingCopies } = await import("./missing-copies.ts");
      await makeMissingCopies(app.bench, work).catch((error: unknown) => {
        // The breaks are whole without their small pictures; the next opening makes those still lacking.
        if (!work.signal.aborted) throw error;
      });
      return { ...report, settingsSay };
    });
  } catch (error) {
    if (!(error instanceof BenchFileError && error.code === "cancelled")) throw error;
    app.say(`Stopped. ${error.next}`);
    return null;
  } finally {
    await app.refreshSummaries();
  }
}

const breaks = (count: number): string => (count === 1 ? "1 break" : `${count} breaks`);

export function reportInWords({ added, same, merged, differing, originals }: BenchFileReport): string {
  const parts = [`${breaks(added.length)} added`];
  if (merged.length > 0) parts.push(`${breaks(merged.length)} brought up to date`);
  if (same.length > 0) parts.push(`${breaks(same.length)} already here`);
  if (differing.length > 0) parts.push(`${breaks(differing.length)} filed as copies`);
  parts.push(originals === 1 ? "1 photograph" : `${originals} photographs`);
  return `${parts.join(", ")}.`;
}
