import { svelte } from "@sveltejs/vite-plugin-svelte";
import { playwright } from "@vitest/browser-playwright";
import { defineConfig } from "vitest/config";
import { setSchemas } from "../web/set-schemas.ts";
import { chromiumLaunch } from "./chromium.ts";
import { checkedByOthers } from "./storage/commands.ts";
import { madePicture, realPicture, realPictureNames, realPixels } from "./workers/commands.ts";

const root = new URL("..", import.meta.url).pathname;

/** Tests too long for every change; `npm run test:long` runs them, with the journeys of the reference set. */
const LONG = [
  "tests/storage/exchange.test.ts",
  "tests/storage/exchange-folder.test.ts",
  "tests/storage/hostile-file.test.ts",
  "tests/storage/exchange-round-trip.test.ts",
  "tests/screens/exchange.test.ts",
  "tests/screens/improve.test.ts",
  "tests/screens/second-readers.test.ts",
  "tests/screens/set.test.ts",
  "tests/screens/set-check.test.ts",
];
const long = process.env["ENDPAIR_LONG"] === "1";

/** Property tests draw the same cases each time, so that a gate says the same of the same code; "new" hunts with others. */
const asked = process.env["ENDPAIR_SEED"] ?? "20261129";
const seed = asked === "new" ? null : Number(asked);

export default defineConfig({
  root,
  test: {
    provide: { seed },
    projects: [
      {
        test: {
          name: "model",
          root,
          include: ["tests/model/**/*.test.ts", "tests/scripts/**/*.test.ts"],
          environment: "node",
          // These tests leave nothing behind in the modules they share; loading those once saves a third of the time.
          isolate: false,
          testTimeout: 30_000,
        },
      },
      {
        plugins: [svelte(), setSchemas()],
        optimizeDeps: {
          include: [
            "geotiff",
            "fake-indexeddb",
            "jsonld",
            "n3",
            "rdf-validate-shacl",
            "ajv-formats/dist/formats.js",
            "ajv/dist/runtime/ucs2length.js",
          ],
          exclude: ["onnxruntime-web"],
        },
        test: {
          name: "browser",
          // A shared machine may stall for seconds; what fails twice has failed.
          retry: process.env["CI"] ? 1 : 0,
          root,
          include: long ? LONG : ["tests/{storage,workers,canvas,screens}/**/*.test.ts"],
          exclude: long ? [] : LONG,
          testTimeout: 30_000,
          // The one second that a poll has by default is too short for a busy machine.
          expect: { poll: { timeout: 10_000 } },
          browser: {
            enabled: true,
            headless: true,
            screenshotFailures: false,
            commands: { checkedByOthers, madePicture, realPicture, realPictureNames, realPixels },
            provider: playwright({ launchOptions: chromiumLaunch() }),
            instances: [{ browser: "chromium" }],
          },
        },
      },
    ],
    coverage: {
      provider: "v8",
      include: ["model/**/*.ts"],
      reporter: ["text-summary", "json-summary"],
      reportsDirectory: "coverage",
    },
  },
});
