import { afterEach } from "vitest";
import { page } from "vitest/browser";
import { render } from "vitest-browser-svelte";
import { App } from "../../web/shell/app.svelte.ts";
import Shell from "../../web/shell/Shell.svelte";
import "../../web/shell/theme.css";
import type { BenchStore } from "../../web/storage/contract.ts";
import { openBench } from "../../web/storage/open-bench.ts";
import { AT } from "./log-breaks.ts";

let counter = 0;
const cleanUps: (() => Promise<void> | void)[] = [];

afterEach(async () => {
  for (const cleanUp of cleanUps.splice(0).reverse()) await cleanUp();
  location.hash = "";
});

/** The whole application on a bench of its own, deleted after the test. */
export async function openApp(): Promise<{ readonly app: App; readonly store: BenchStore }> {
  const name = `screens-${Date.now()}-${++counter}`;
  const store = await openBench({ now: () => AT, name });
  let ids = 0;
  const app = new App({ now: () => AT, newId: () => `id-${counter}-${++ids}`, numbersName: `${name}-numbers` });
  const follow = () => app.followAddress();
  addEventListener("hashchange", follow);
  cleanUps.push(async () => {
    removeEventListener("hashchange", follow);
    store.close();
    await new Promise<void>((resolve, reject) => {
      const request = indexedDB.deleteDatabase(name);
      request.onsuccess = () => resolve();
      request.onerror = () => reject(new Error(`${name} could not be deleted`));
    });
  });
  return { app, store };
}

export async function showApp(app: App, store: BenchStore) {
  await app.attach(store);
  await page.viewport(1280, 800);
  const shown = await render(Shell, { app });
  shown.container.style.height = "100vh";
  return shown;
}
