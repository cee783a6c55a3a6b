import { createHash } from "node:crypto";
import type { Plugin } from "vite";

/**
 * Emits `sw.js`: keeps every file of this build, so that the bench opens without a network. The demo mill's pictures
 * are kept the first time they are asked for. The cache is named after the content, so an old page never meets new files.
 */
export function offlineWorker(): Plugin {
  return {
    name: "endpair-offline-worker",
    apply: "build",
    generateBundle: {
      order: "post",
      handler(_options, bundle) {
        const files = Object.keys(bundle).filter((name) => !name.startsWith("samples/") && !name.endsWith(".map"));
        const digest = createHash("sha256");
        for (const name of [...files].sort()) {
          const part = bundle[name];
          digest.update(name);
          if (part) digest.update(part.type === "chunk" ? part.code : part.source);
        }
        const cache = `endpair-${digest.digest("hex").slice(0, 16)}`;
        this.emitFile({ type: "asset", fileName: "sw.js", source: workerSource(cache, ["./", "icon.svg", ...files]) });
      },
    },
  };
}

const workerSource = (cache: string, files: readonly string[]) => `const CACHE = ${JSON.stringify(cache)};
const FILES = ${JSON.stringify(files)};
self.addEventListener("install", (event) => {
  event.waitUntil(caches.open(CACHE).then((c) => c.addAll(FILES)));
});
self.addEventListener("activate", (event) => {
  event.waitUntil(
    caches.keys()
      .then((names) => Promise.all(names.filter((n) => n.startsWith("endpair-") && n !== CACHE).map((n) => caches.delete(n))))
      .then(() => self.clients.claim()),
  );
});
self.addEventListener("fetch", (event) => {
  const url = new URL(event.request.url);
  if (event.request.method !== "GET" || url.origin !== self.location.origin) return;
  event.respondWith(answer(event.request, url));
});
async function answer(request, url) {
  const cache = await caches.open(CACHE);
  const kept = await cache.match(request, { ignoreSearch: true, ignoreVary: true });
  if (kept) return kept;
  if (request.mode === "navigate") {
    const page = await cache.match("./", { ignoreVary: true });
    if (page) return page;
  }
  const fresh = await fetch(request);
  if (fresh.ok && url.pathname.includes("/samples/")) await cache.put(request, fresh.clone());
  return fresh;
}
`;
