import type { App } from "../shell/app.svelte.ts";
import type { LongTask } from "./long-task.svelte.ts";

/** Loads the demo mill with progress; cancelling keeps the breaks that are whole. @throws DemoError, StoreError. */
export async function openDemoMill(app: App, task: LongTask): Promise<void> {
  const { loadDemoMill } = await import("./demo.ts");
  let cancelled = false;
  const report = await task.run("Opening the demo mill", async (work) => {
    try {
      return await loadDemoMill(app, work);
    } catch (error) {
      if (!work.signal.aborted) throw error;
      cancelled = true;
      return null;
    }
  });
  if (cancelled) app.say("Stopped. The demo breaks loaded so far are whole and stay.");
  else if (report !== null)
    app.say(`${report.added} demo breaks opened${report.here > 0 ? `, ${report.here} were here already` : ""}.`);
}
