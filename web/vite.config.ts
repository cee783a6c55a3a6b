import { createReadStream, existsSync, readdirSync, readFileSync, statSync } from "node:fs";
import { extname, join, relative, resolve, sep } from "node:path";
import { svelte } from "@sveltejs/vite-plugin-svelte";
import { defineConfig, type Plugin } from "vite";
import { offlineWorker } from "./offline-worker.ts";
import { setSchemas } from "./set-schemas.ts";

const root = new URL(".", import.meta.url).pathname;
const samples = resolve(root, "../samples");

/**
 * The same policy as in the page itself, as a header where the host allows one. WebAssembly of this origin may run: the
 * model's runtime is that; text still never becomes script.
 */
const POLICY =
  "default-src 'self'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self'; img-src 'self' blob: data:; font-src 'self'; " +
  "connect-src 'self'; worker-src 'self'; object-src 'none'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";
/** Written into the built page, so that every host enforces it; the development server injects styles and cannot. */
function strictPolicy(): Plugin {
  return {
    name: "endpair-strict-policy",
    apply: "build",
    transformIndexHtml: () => [
      {
        tag: "meta",
        injectTo: "head-prepend",
        // A frame rule is only heard as a header.
        attrs: { "http-equiv": "Content-Security-Policy", content: POLICY.replace(/; frame-ancestors 'none'/, "") },
      },
    ],
  };
}

const headers = {
  "Content-Security-Policy": POLICY,
  "X-Content-Type-Options": "nosniff",
  "Referrer-Policy": "no-referrer",
  "Permissions-Policy": "camera=(self), microphone=(), geolocation=()",
};

const SAMPLE_TYPES: Readonly<Record<string, string>> = {
  ".json": "application/json",
  ".jpg": "image/jpeg",
  ".png": "image/png",
  ".tif": "image/tiff",
};

function filesUnder(folder: string): string[] {
  if (!existsSync(folder)) return [];
  return readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile() && SAMPLE_TYPES[extname(entry.name)] !== undefined)
    .map((entry) => join(entry.parentPath, entry.name));
}

/** The demo mill beside the application: served while developing, copied when building. */
function demoMill(): Plugin {
  return {
    name: "endpair-demo-mill",
    configureServer(server) {
      server.middlewares.use("/samples", (request, response, next) => {
        const path = resolve(samples, `.${decodeURIComponent((request.url ?? "").split("?")[0] ?? "")}`);
        const type = SAMPLE_TYPES[extname(path)];
        if (!path.startsWith(samples + sep) || type === undefined || !existsSync(path) || !statSync(path).isFile())
          return next();
        response.setHeader("Content-Type", type);
        createReadStream(path).pipe(response);
      });
    },
    generateBundle() {
      for (const file of filesUnder(samples))
        this.emitFile({
          type: "asset",
          fileName: `samples/${relative(samples, file).split(sep).join("/")}`,
          source: readFileSync(file),
        });
    },
  };
}

export default defineConfig({
  root,
  base: "./",
  publicDir: "public",
  plugins: [svelte(), setSchemas(), strictPolicy(), demoMill(), offlineWorker()],
  worker: { format: "es", plugins: () => [setSchemas()] },
  // Its WebAssembly is found by address; prepared packages would move it.
  optimizeDeps: { exclude: ["onnxruntime-web"] },
  build: {
    outDir: "../dist",
    emptyOutDir: true,
    target: "es2022",
    modulePreload: { polyfill: false },
    assetsInlineLimit: 0,
    manifest: true,
  },
  server: { host: "localhost", port: 4380, fs: { allow: [resolve(root, "..")] } },
  preview: { host: "localhost", port: 4380, headers },
});
