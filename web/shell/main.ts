import "@fontsource/barlow/latin-400.css";
import "@fontsource/barlow/latin-500.css";
import "@fontsource/barlow/latin-600.css";
import "@fontsource/barlow-semi-condensed/latin-400.css";
import "@fontsource/barlow-semi-condensed/latin-500.css";
import "@fontsource/barlow-semi-condensed/latin-600.css";
import "./theme.css";
import { mount } from "svelte";
import { openBench } from "../storage/open-bench.ts";
import { StoreError, type BenchStore } from "../storage/contract.ts";
import { App } from "./app.svelte.ts";
import { isoNow } from "./clock.ts";
import { startOffline } from "./offline.ts";
import Shell from "./Shell.svelte";

/** The only place that joins screens, storage and workers. */
async function start(): Promise<void> {
  const app = new App({ now: isoNow, newId: () => crypto.randomUUID() });
  app.followAddress();
  addEventListener("hashchange", () => app.followAddress());
  addEventListener("unhandledrejection", (event) => app.report(event.reason));
  const target = document.getElementById("app");
  if (target === null) throw new Error("The page has no place for the application.");
  mount(Shell, { target, props: { app } });
  try {
    const store = await openBench({ now: isoNow });
    await app.attach(store);
    if (store.mode === "writer") makeCopiesAtLeisure(app, store);
  } catch (error) {
    app.storeProblem =
      error instanceof StoreError
        ? error
        : new StoreError(
            "unavailable",
            "The browser did not open the store on this disk.",
            "Leave private browsing, allow site data for this address, then reload the page.",
          );
  }
  startOffline(app);
}

/** Small pictures that are missing after a recovery or an import that did not end. */
function makeCopiesAtLeisure(app: App, store: BenchStore): void {
  store
    .lackingCopies()
    .then(async (hashes) => {
      if (hashes.length === 0) return;
      const { makeMissingCopies } = await import("../log/missing-copies.ts");
      await makeMissingCopies(store, {});
      await app.refreshSummaries();
    })
    .catch((error: unknown) => app.report(error));
}

void start();
