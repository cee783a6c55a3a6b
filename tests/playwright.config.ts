import { defineConfig } from "@playwright/test";
import { chromiumLaunch } from "./chromium.ts";

const PORT = Number(process.env["ENDPAIR_TEST_PORT"] ?? 4390);

/** Journeys too long for every change; `npm run test:long` walks them. */
const LONG = /(exchange|reference-set|retrain|second-reading)\.spec\.ts$/;
const long = process.env["ENDPAIR_LONG"] === "1";

export default defineConfig({
  testDir: "./journeys",
  ...(long ? { testMatch: LONG } : { testIgnore: LONG }),
  outputDir: "../test-results",
  // Each journey has a browser profile of its own.
  fullyParallel: true,
  workers: 2,
  // A shared machine may stall for seconds; a journey that fails twice has failed. The list names what was repeated.
  retries: process.env["CI"] ? 1 : 0,
  timeout: 120_000,
  // The five seconds that a look has by default are too short for two journeys at once on a small machine.
  expect: { timeout: 20_000 },
  reporter: [["list"]],
  use: {
    baseURL: `http://localhost:${PORT}/`,
    viewport: { width: 1440, height: 900 },
    launchOptions: chromiumLaunch(),
    locale: "en-GB",
    timezoneId: "Europe/Berlin",
    screenshot: "off",
  },
  webServer: {
    command: `npm run -s build && npx vite preview --config web/vite.config.ts --port ${PORT} --strictPort`,
    cwd: "..",
    url: `http://localhost:${PORT}/`,
    reuseExistingServer: false,
    timeout: 120_000,
  },
});
