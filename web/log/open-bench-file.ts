import type { App } from "../shell/app.svelte.ts";
import type { BenchFileReport } from "../storage/contract.ts";
import { BenchFileError } from "../storage/bench-file-error.ts";
import type { LongTask } from "./long-task.svelte.ts";

/**
 * Merges a bench file into this bench; nothing is overwritten.
 *
 * @returns null when it was cancelled or other work is running.
 * @throws BenchFileError, StoreError: why the file was refused.
 */
export async function openBenchFile(app: App, task: LongTask, file: Blob): Promise<BenchFileReport | null> {
  try {
    const report = await task.run("Opening the bench file", (work) =>
      app.bench.importBench(file, app.reader, app.surroundings.now(), work),
    );
    if (report !== null) app.say(reportInWords(report));
    return report;
  } catch (error) {
    if (!(error instanceof BenchFileError && error.code === "cancelled")) throw error;
    app.say(`Stopped. ${error.next}`);
    return null;
  } finally {
    await app.refreshSummaries();
  }
}

const breaks = (count: number): string => (count === 1 ? "1 break" : `${count} breaks`);

export function reportInWords({ added, same, differing, originals }: BenchFileReport): string {
  const parts = [`${breaks(added.length)} added`];
  if (same.length > 0) parts.push(`${breaks(same.length)} already here`);
  if (differing.length > 0) parts.push(`${breaks(differing.length)} filed as copies`);
  parts.push(originals === 1 ? "1 photograph" : `${originals} photographs`);
  return `${parts.join(", ")}.`;
}
