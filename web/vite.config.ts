import { svelte } from "@sveltejs/vite-plugin-svelte";
import { defineConfig } from "vite";

const root = new URL(".", import.meta.url).pathname;

export default defineConfig({
  root,
  base: "./",
  plugins: [svelte()],
  worker: { format: "es" },
  build: {
    outDir: "../dist",
    emptyOutDir: true,
    target: "es2022",
    modulePreload: { polyfill: false },
    assetsInlineLimit: 0,
  },
  server: { host: "localhost", port: 4380 },
  preview: { host: "localhost", port: 4380 },
});
