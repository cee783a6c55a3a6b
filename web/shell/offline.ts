import type { App } from "./app.svelte.ts";

/** Registers the service worker of a built copy, so that the bench opens without a network. */
export function startOffline(app: App): void {
  if (!import.meta.env.PROD || !("serviceWorker" in navigator)) return;
  const hadOne = navigator.serviceWorker.controller !== null;
  navigator.serviceWorker
    .register("./sw.js")
    .then((registration) => {
      registration.addEventListener("updatefound", () => {
        const fresh = registration.installing;
        fresh?.addEventListener("statechange", () => {
          if (fresh.state === "installed" && hadOne)
            app.need("A new version of Endpair is ready.", "Close every tab of it and open it again.");
        });
      });
    })
    .catch(() => {
      app.need(
        "This copy will not open without its server.",
        "Reload once; if it stays, check that site data is allowed.",
      );
    });
}
